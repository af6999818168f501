#include "core/figure/figure_check.h"

#include <algorithm>
#include <cmath>
#include <set>
#include <string>
#include <string_view>

#include "core/base/number_text.h"
#include "core/curve/measures.h"
#include "core/figure/figure_words.h"
#include "core/study/units.h"

namespace aftercurve {

namespace {

/// Collects the problems of one figure under the paths of their keys.
class FigureFaults {
  public:
    explicit FigureFaults(std::string path) : path_(std::move(path)) {}

    void add(const std::string& key, std::string what, std::string remedy,
             Severity severity = Severity::error) {
        Problem problem;
        problem.severity = severity;
        problem.column = path_ + key;
        problem.what = std::move(what);
        problem.remedy = std::move(remedy);
        problems_.push_back(std::move(problem));
    }

    void range(const std::string& key, const std::string& name, double value, double low, double high,
               const std::string& unit) {
        if (value >= low && value <= high) {
            return;
        }
        add(key, name + " " + (std::isfinite(value) ? plainNumber(value) + unit : "is not a number"),
            "choose " + plainNumber(low) + " to " + plainNumber(high) + unit);
    }

    void text(const std::string& key, const std::string& name, const std::string& value,
              std::size_t longest = longestFigureText) {
        if (value.size() > longest) {
            add(key, name + " is longer than " + std::to_string(longest) + " bytes", "shorten it");
        }
    }

    std::vector<Problem> take() { return std::move(problems_); }

  private:
    std::string path_;
    std::vector<Problem> problems_;
};

bool isFileSafe(std::string_view id) {
    const auto safe = [](char c) {
        return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' ||
               c == '_';
    };
    return !id.empty() && id.size() <= longestFigureId && std::all_of(id.begin(), id.end(), safe);
}

void checkAxis(FigureFaults& faults, const std::string& key, const AxisChoice& axis) {
    for (const auto& end : {axis.low, axis.high}) {
        if (end && !std::isfinite(*end)) {
            faults.add(key, "an end of the axis is not a finite number", "give a number, or leave it out");
            return;
        }
    }
    if (axis.low && axis.high && !(*axis.low < *axis.high)) {
        faults.add(key,
                   "the axis runs from " + plainNumber(*axis.low) + " to " + plainNumber(*axis.high) +
                       "; its low end is not below its high end",
                   "exchange the two, or leave one out");
    }
    faults.text(key + ".title", "the title of an axis", axis.title);
}

void checkFrame(FigureFaults& faults, const std::string& key, const PanelFrame& frame) {
    faults.text(key + ".title", "the title of a panel", frame.title);
    checkAxis(faults, key + ".x", frame.x);
    checkAxis(faults, key + ".y", frame.y);
    faults.text(key + ".unit", "the unit", frame.unit, 40);
    if (frame.key) {
        const auto inside = [](double share) { return share >= 0.0 && share < 1.0; };
        if (!inside(frame.key->x) || !inside(frame.key->y)) {
            faults.add(key + ".key_at", "the key lies outside its panel",
                       "give its corner in shares of the panel, from 0 to below 1");
        }
    }
}

void checkFood(FigureFaults& faults, const std::string& key, const FoodAppearance& food) {
    if (food.food.empty()) {
        faults.add(key + ".food", "an appearance names no food", "give the id of a food");
    }
    faults.text(key + ".label", "the label of a food", food.label, 400);
    if (!food.colour.empty() && !isColour(food.colour)) {
        faults.add(key + ".colour", "the colour '" + food.colour.substr(0, 40) + "' is not known",
                   "write it as a hash and six hexadecimal digits: #0072b2");
    }
    if (!food.mark.empty() && !markFrom(food.mark)) {
        faults.add(key + ".mark", "the mark '" + food.mark.substr(0, 40) + "' is not known",
                   "use circle, square, triangle, diamond or triangle-down, with open- before it for an open "
                   "one");
    }
    if (!food.dash.empty() && !dashFrom(food.dash)) {
        faults.add(key + ".dash", "the dash '" + food.dash.substr(0, 40) + "' is not known",
                   "use solid, long, dotted, dash-dot, short or extra-long");
    }
}

void checkStyle(FigureFaults& faults, const FigureStyle& style) {
    faults.range("style.width_mm", "width", style.widthMm, smallestFigureMm, largestFigureMm, " mm");
    faults.range("style.height_mm", "height", style.heightMm, smallestFigureMm, largestFigureMm, " mm");
    faults.range("style.font_pt", "font size", style.fontPt, smallestFontPt, largestFontPt, " pt");
    faults.range("style.line_pt", "line width", style.linePt, thinnestLinePt, thickestLinePt, " pt");
    if (style.fontFamily.empty()) {
        faults.add("style.font", "no font is named", "name one: DejaVu Sans");
    }
    faults.text("style.font", "the name of the font", style.fontFamily, 100);
    std::set<std::string> named;
    for (std::size_t i = 0; i < style.foods.size(); ++i) {
        const std::string key = "style.foods[" + std::to_string(i) + "]";
        checkFood(faults, key, style.foods[i]);
        if (!named.insert(style.foods[i].food).second) {
            faults.add(key + ".food", "the food '" + style.foods[i].food.substr(0, 40) + "' is named twice",
                       "keep one of the two");
        }
    }
}

std::vector<Problem> faultsOf(const FigureSpec& spec, const std::string& path) {
    FigureFaults faults(path);
    if (!isFileSafe(spec.id)) {
        faults.add(
            "id", "the id '" + spec.id.substr(0, 40) + "' cannot name a file",
            "use 1 to " + std::to_string(longestFigureId) + " letters a-z, digits, hyphens and underscores");
    }
    faults.text("title", "the title", spec.title);
    faults.text("caption", "the caption", spec.caption);
    faults.range("columns", "columns", spec.columns, 1, mostFigureColumns, "");
    if (spec.panels.empty() || spec.panels.size() > mostPanels) {
        faults.add("panels", "the figure has " + std::to_string(spec.panels.size()) + " panels",
                   "give it 1 to " + std::to_string(mostPanels));
    }
    for (std::size_t i = 0; i < std::min(spec.panels.size(), mostPanels); ++i) {
        const std::string key = "panels[" + std::to_string(i) + "]";
        if (spec.panels[i].kind.empty()) {
            faults.add(key + ".kind", "a panel names no kind of figure", "name one: curves_mean");
        }
        if (spec.panels[i].visit < 0) {
            faults.add(key + ".visit", "visit " + std::to_string(spec.panels[i].visit),
                       "name a visit from 1, or none");
        }
        if (spec.panels[i].page < 0) {
            faults.add(key + ".page", "page " + std::to_string(spec.panels[i].page),
                       "name a page from 1, or none");
        }
        checkFrame(faults, key, spec.panels[i].frame);
    }
    checkStyle(faults, spec.style);
    return faults.take();
}

std::string folded(std::string text) {
    for (char& c : text) {
        c = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    }
    return text;
}

std::string pathOf(std::size_t figure) {
    return "figures[" + std::to_string(figure) + "].";
}

/// Figures of a diary take an item or the composite as their measure; that beside digestion takes a quantity
/// in vitro, which the findings name.
bool isMeasureOf(const Study& study, const PanelSpec& panel) {
    if (panel.kind == "bridge") {
        return true;
    }
    if (panel.kind == "symptoms_diverging" || panel.kind == "symptoms_dose") {
        const auto& items = study.diary.items;
        return (panel.kind == "symptoms_dose" && panel.measure == "composite") ||
               std::any_of(items.begin(), items.end(),
                           [&](const DiaryItem& item) { return item.id == panel.measure; });
    }
    return measureIndex(panel.measure).has_value();
}

/// What a panel asks for and this study does not have.
void remarkOnPanel(FigureFaults& faults, const Study& study, const PanelSpec& panel, const std::string& key) {
    const auto warn = [&](const std::string& field, const std::string& what, const std::string& remedy) {
        faults.add(key + field, what, remedy, Severity::warning);
    };
    const auto named = [](const std::string& id) { return "'" + id.substr(0, 40) + "'"; };
    if (!isFigureKind(panel.kind)) {
        warn(".kind",
             named(panel.kind) + " is no kind of figure that this program knows; the panel stays empty",
             "check the spelling");
    }
    const auto analyte = findAnalyte(study, panel.analyte);
    if (!panel.analyte.empty() && !analyte) {
        warn(".analyte", named(panel.analyte) + " is no analyte of the study; the panel stays empty",
             "check the spelling");
    }
    if (!panel.food.empty() && !findFood(study, panel.food)) {
        warn(".food", named(panel.food) + " is no food of the study; the panel stays empty",
             "check the spelling");
    }
    if (!panel.subject.empty() && !study.subjects.empty() && !findSubject(study, panel.subject)) {
        warn(".subject", named(panel.subject) + " is no subject of the study; the panel stays empty",
             "check the spelling");
    }
    if (!panel.measure.empty() && !isMeasureOf(study, panel)) {
        warn(".measure", named(panel.measure) + " is no measure; the panel stays empty",
             "use a key of docs/methods.md, in figures of a diary the id of an item");
    }
    if (!panel.frame.unit.empty() && (analyte || (panel.analyte.empty() && !study.analytes.empty()))) {
        const Analyte& shown = study.analytes[analyte.value_or(0)];
        if (!shown.unit.empty() && !conversionFactor(shown.id, shown.unit, panel.frame.unit)) {
            warn(".unit",
                 shown.id + " is not converted from " + shown.unit + " to " + named(panel.frame.unit) +
                     "; the panel keeps the study's unit",
                 isKnownAnalyte(shown.id) ? "use one of " + unitsOf(shown.id) : "leave the unit out");
        }
    }
}

}  // namespace

std::vector<Problem> validate(const FigureSpec& spec) {
    return faultsOf(spec, {});
}

std::vector<Problem> validate(std::span<const FigureSpec> specs) {
    FigureFaults list({});
    if (specs.size() > mostFigures) {
        list.add("figures", "there are more than " + std::to_string(mostFigures) + " figures",
                 "spread them over several files");
        return list.take();
    }
    std::vector<Problem> problems;
    std::set<std::string> ids;
    for (std::size_t i = 0; i < specs.size(); ++i) {
        const std::vector<Problem> own = faultsOf(specs[i], pathOf(i));
        problems.insert(problems.end(), own.begin(), own.end());
        if (!ids.insert(folded(specs[i].id)).second) {
            list.add(pathOf(i) + "id", "the id '" + specs[i].id.substr(0, 40) + "' is there twice",
                     "give each figure its own");
        }
    }
    const std::vector<Problem> twice = list.take();
    problems.insert(problems.end(), twice.begin(), twice.end());
    return problems;
}

std::vector<Problem> figureRemarks(const Study& study, std::span<const FigureSpec> specs) {
    std::vector<Problem> remarks;
    for (std::size_t i = 0; i < specs.size(); ++i) {
        FigureFaults faults(pathOf(i));
        for (std::size_t k = 0; k < specs[i].panels.size(); ++k) {
            remarkOnPanel(faults, study, specs[i].panels[k], "panels[" + std::to_string(k) + "]");
        }
        for (std::size_t k = 0; k < specs[i].style.foods.size(); ++k) {
            const std::string& food = specs[i].style.foods[k].food;
            if (!findFood(study, food)) {
                faults.add("style.foods[" + std::to_string(k) + "].food",
                           "'" + food.substr(0, 40) + "' is no food of the study; its appearance is not used",
                           "check the spelling", Severity::warning);
            }
        }
        const std::vector<Problem> own = faults.take();
        remarks.insert(remarks.end(), own.begin(), own.end());
    }
    return remarks;
}

}  // namespace aftercurve
