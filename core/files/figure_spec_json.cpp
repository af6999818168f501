#include "core/files/figure_spec_json.h"

#include <algorithm>
#include <utility>

#include "core/figure/figure_check.h"
#include "core/figure/figure_words.h"
#include "core/files/atomic_write.h"
#include "core/files/excerpt.h"
#include "core/files/read_file.h"
#include "core/files/read_rule.h"
#include "core/files/text_check.h"

namespace aftercurve {

namespace {

constexpr const char* listKey = "figures";
constexpr const char* fileFormat = "aftercurve-figures";
constexpr std::int64_t fileVersion = 1;
constexpr std::uintmax_t largestFile = std::uintmax_t{4} << 20U;
constexpr int deepest = 12;
constexpr std::size_t mostProblems = 200;
constexpr std::size_t mostAppearances = 1000;

/// A whole number that an int holds.
std::optional<int> smallNumber(const JsonObject& object, const char* key) {
    const auto number = object.wholeNumber(key);
    if (!number) {
        return std::nullopt;
    }
    if (*number < -1'000'000 || *number > 1'000'000) {
        object.report(Weight::fatal, key, "is far too large", "check the number");
        return std::nullopt;
    }
    return static_cast<int>(*number);
}

AxisChoice axisFrom(const JsonObject& panel, const char* key) {
    AxisChoice axis;
    if (const auto object = panel.object(key)) {
        axis.low = object->number("low");
        axis.high = object->number("high");
        assign(axis.title, object->text("title"));
        object->noteUnknownKeys({"low", "high", "title"});
    }
    return axis;
}

PanelSpec panelFrom(const JsonObject& object) {
    PanelSpec panel;
    assign(panel.kind, object.text("kind", Need::required));
    assign(panel.analyte, object.text("analyte"));
    assign(panel.measure, object.text("measure"));
    assign(panel.food, object.text("food"));
    assign(panel.subject, object.text("subject"));
    assign(panel.visit, smallNumber(object, "visit"));
    PanelFrame& frame = panel.frame;
    assign(frame.title, object.text("title"));
    frame.x = axisFrom(object, "x");
    frame.y = axisFrom(object, "y");
    assign(frame.unit, object.text("unit"));
    readRule(
        object, "spread", frame.spread, figureSpreadFrom,
        {FigureSpread::standardError, FigureSpread::standardDeviation, FigureSpread::confidenceInterval});
    assign(frame.showKey, object.boolean("show_key"));
    if (const auto place = object.object("key_at")) {
        frame.key = KeyPlace{place->number("x").value_or(0.0), place->number("y").value_or(0.0)};
        place->noteUnknownKeys({"x", "y"});
    }
    object.noteUnknownKeys({"kind", "analyte", "measure", "food", "subject", "visit", "title", "x", "y",
                            "unit", "spread", "show_key", "key_at"});
    return panel;
}

FoodAppearance appearanceFrom(const JsonObject& object) {
    FoodAppearance food;
    assign(food.food, object.text("food", Need::required));
    assign(food.label, object.text("label"));
    assign(food.colour, object.text("colour"));
    assign(food.mark, object.text("mark"));
    assign(food.dash, object.text("dash"));
    object.noteUnknownKeys({"food", "label", "colour", "mark", "dash"});
    return food;
}

FigureStyle styleFrom(const JsonObject& object) {
    FigureStyle style;
    assign(style.widthMm, object.number("width_mm"));
    assign(style.heightMm, object.number("height_mm"));
    assign(style.fontPt, object.number("font_pt"));
    assign(style.fontFamily, object.text("font"));
    assign(style.linePt, object.number("line_pt"));
    assign(style.grey, object.boolean("grey"));
    readRule(object, "language", style.language, figureLanguageFrom,
             {FigureLanguage::english, FigureLanguage::german, FigureLanguage::swedish});
    const std::vector<JsonObject> foods = object.objects("foods", Need::optional);
    if (foods.size() > mostAppearances) {
        object.report(Weight::fatal, "foods", "has more than 1000 entries", "name each food once");
        return style;
    }
    for (const JsonObject& food : foods) {
        style.foods.push_back(appearanceFrom(food));
    }
    object.noteUnknownKeys(
        {"width_mm", "height_mm", "font_pt", "font", "line_pt", "grey", "language", "foods"});
    return style;
}

FigureSpec figureFrom(const JsonObject& object) {
    FigureSpec figure;
    assign(figure.id, object.text("id", Need::required));
    assign(figure.title, object.text("title"));
    assign(figure.caption, object.text("caption"));
    assign(figure.columns, smallNumber(object, "columns"));
    readRule(object, "letters", figure.letters, panelLettersFrom,
             {PanelLetters::none, PanelLetters::capital, PanelLetters::small});
    const std::vector<JsonObject> panels = object.objects("panels", Need::required);
    // One past the bound, so that the check of the figure says so.
    for (std::size_t i = 0; i < std::min(panels.size(), mostPanels + 1); ++i) {
        figure.panels.push_back(panelFrom(panels[i]));
    }
    if (const auto style = object.object("style")) {
        figure.style = styleFrom(*style);
    }
    object.noteUnknownKeys({"id", "title", "caption", "columns", "letters", "panels", "style"});
    return figure;
}

void putText(Json& object, const char* key, const std::string& text) {
    if (text.empty()) {
        object.erase(key);
    } else {
        object[key] = text;
    }
}

void putNumber(Json& object, const char* key, const std::optional<double>& number) {
    if (number) {
        object[key] = numberJson(*number);
    } else {
        object.erase(key);
    }
}

Json objectAt(const Json& parent, const char* key) {
    const auto found = parent.find(key);
    return found != parent.end() && found->is_object() ? *found : Json::object();
}

void putOrErase(Json& parent, const char* key, Json child) {
    if (child.empty()) {
        parent.erase(key);
    } else {
        parent[key] = std::move(child);
    }
}

void putAxis(Json& panel, const char* key, const AxisChoice& axis) {
    Json object = objectAt(panel, key);
    putNumber(object, "low", axis.low);
    putNumber(object, "high", axis.high);
    putText(object, "title", axis.title);
    putOrErase(panel, key, std::move(object));
}

void putPanel(Json& object, const PanelSpec& panel) {
    object["kind"] = panel.kind;
    putText(object, "analyte", panel.analyte);
    putText(object, "measure", panel.measure);
    putText(object, "food", panel.food);
    putText(object, "subject", panel.subject);
    putNumber(object, "visit", panel.visit == 0 ? std::nullopt : std::optional<double>{panel.visit});
    const PanelFrame& frame = panel.frame;
    putText(object, "title", frame.title);
    putAxis(object, "x", frame.x);
    putAxis(object, "y", frame.y);
    putText(object, "unit", frame.unit);
    object["spread"] = std::string{wordFor(frame.spread)};
    object["show_key"] = frame.showKey;
    if (frame.key) {
        Json place = objectAt(object, "key_at");
        place["x"] = numberJson(frame.key->x);
        place["y"] = numberJson(frame.key->y);
        object["key_at"] = std::move(place);
    } else {
        object.erase("key_at");
    }
}

/// The object of an old list that stands for the same thing; an empty one where there is none.
template <class Same>
Json sameIn(const Json& list, Same same) {
    if (list.is_array()) {
        for (const Json& entry : list) {
            if (entry.is_object() && same(entry)) {
                return entry;
            }
        }
    }
    return Json::object();
}

Json listAt(const Json& object, const char* key) {
    const auto found = object.find(key);
    return found != object.end() && found->is_array() ? *found : Json::array();
}

bool says(const Json& object, const char* key, const std::string& text) {
    const auto found = object.find(key);
    return found != object.end() && found->is_string() && found->get_ref<const std::string&>() == text;
}

void putStyle(Json& object, const FigureStyle& style) {
    object["width_mm"] = numberJson(style.widthMm);
    object["height_mm"] = numberJson(style.heightMm);
    object["font_pt"] = numberJson(style.fontPt);
    object["font"] = style.fontFamily;
    object["line_pt"] = numberJson(style.linePt);
    object["grey"] = style.grey;
    object["language"] = std::string{wordFor(style.language)};
    const Json old = listAt(object, "foods");
    Json foods = Json::array();
    for (const FoodAppearance& food : style.foods) {
        Json entry = sameIn(old, [&](const Json& one) { return says(one, "food", food.food); });
        entry["food"] = food.food;
        putText(entry, "label", food.label);
        putText(entry, "colour", food.colour);
        putText(entry, "mark", food.mark);
        putText(entry, "dash", food.dash);
        foods.push_back(std::move(entry));
    }
    putOrErase(object, "foods", std::move(foods));
}

void putFigure(Json& object, const FigureSpec& figure) {
    object["id"] = figure.id;
    putText(object, "title", figure.title);
    putText(object, "caption", figure.caption);
    object["columns"] = figure.columns;
    object["letters"] = std::string{wordFor(figure.letters)};
    const Json old = listAt(object, "panels");
    Json panels = Json::array();
    for (std::size_t i = 0; i < figure.panels.size(); ++i) {
        const bool same = i < old.size() && old[i].is_object() && says(old[i], "kind", figure.panels[i].kind);
        Json panel = same ? old[i] : Json::object();
        putPanel(panel, figure.panels[i]);
        panels.push_back(std::move(panel));
    }
    object["panels"] = std::move(panels);
    Json style = objectAt(object, "style");
    putStyle(style, figure.style);
    object["style"] = std::move(style);
}

}  // namespace

std::vector<FigureSpec> figuresFrom(const JsonObject& root) {
    std::vector<FigureSpec> figures;
    const std::vector<JsonObject> entries = root.objects(listKey, Need::optional);
    if (entries.size() > mostFigures) {
        root.report(Weight::fatal, listKey, "has more than " + std::to_string(mostFigures) + " entries",
                    "check that it is a list of figures");
        return figures;
    }
    for (const JsonObject& entry : entries) {
        figures.push_back(figureFrom(entry));
    }
    for (const Problem& problem : validate(std::span<const FigureSpec>{figures})) {
        root.report(Weight::fatal, problem.column, "is wrong: " + printable(problem.what), problem.remedy);
    }
    return figures;
}

void putFigures(std::span<const FigureSpec> figures, Json& root) {
    const Json old = listAt(root, listKey);
    Json entries = Json::array();
    for (const FigureSpec& figure : figures) {
        Json entry = sameIn(old, [&](const Json& one) { return says(one, "id", figure.id); });
        putFigure(entry, figure);
        entries.push_back(std::move(entry));
    }
    putOrErase(root, listKey, std::move(entries));
}

Result<FigureFile> figureFileFrom(std::string_view bytes, const std::string& name) {
    if (bytes.size() > largestFile) {
        return problemAt(name, 0, {}, "the file is larger than " + megabytes(largestFile),
                         "check that it is a file of figures");
    }
    const Result<std::string_view> text = checkedText(bytes, name);
    if (!text) {
        return text.problem();
    }
    const Result<Json> json = parseJson(text.value(), name, deepest);
    if (!json) {
        return json.problem();
    }
    if (!json.value().is_object() || !says(json.value(), "format", fileFormat)) {
        return problemAt(name, 0, "format", "the file does not hold figures",
                         "name a file whose format is '" + std::string{fileFormat} + "'");
    }
    ProblemList problems{mostProblems};
    const JsonObject root{json.value(), "", name, problems};
    const auto version = root.wholeNumber("version");
    if (version != fileVersion) {
        return problemAt(
            name, 0, "version",
            version ? "version " + std::to_string(*version) + " is not known" : "no version is given",
            "this program reads version " + std::to_string(fileVersion));
    }
    FigureFile file;
    file.figures = figuresFrom(root);
    root.noteUnknownKeys({"format", "version", listKey});
    const bool failed = problems.failed();
    file.problems = problems.take();
    if (failed) {
        const auto fatal = std::find_if(file.problems.begin(), file.problems.end(),
                                        [](const Problem& p) { return p.severity == Severity::error; });
        return *fatal;
    }
    return file;
}

Result<FigureFile> readFigureFile(const std::filesystem::path& file) {
    const Result<FileBytes> bytes = readAnywhere(file, largestFile);
    if (!bytes) {
        return bytes.problem();
    }
    return figureFileFrom(bytes.value().view(), file.filename().string());
}

Result<std::string> figureFileText(std::span<const FigureSpec> figures) {
    Json root = Json{{"format", fileFormat}, {"version", fileVersion}};
    root[listKey] = Json::array();
    try {
        putFigures(figures, root);
        if (!root.contains(listKey)) {
            root[listKey] = Json::array();
        }
        return root.dump(2) + "\n";
    } catch (const Json::exception&) {
        return problemAt({}, 0, listKey, "a text of the figures is not UTF-8", "mend the text");
    }
}

Result<Done> writeFigureFile(const std::filesystem::path& file, std::span<const FigureSpec> figures) {
    const Result<std::string> text = figureFileText(figures);
    if (!text) {
        return text.problem();
    }
    return writeAtomically(file, text.value());
}

}  // namespace aftercurve
