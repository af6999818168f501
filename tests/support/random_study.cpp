#include "tests/support/random_study.h"

#include <nlohmann/json.hpp>

#include "core/files/registered_plan_json.h"

namespace aftercurve::test {

namespace {

using Texts = std::vector<std::string>;

const Texts hostile{"=HYPERLINK(\"http://127.0.0.1\")",
                    "-5",
                    "+1+1",
                    "@SUM(A1)",
                    "'quoted",
                    "'=1",
                    "''",
                    "a, \"b\"",
                    "Gerste, grün",
                    "<b>bold</b>",
                    "麦 粥",
                    "NA",
                    "x;y",
                    "-"};
const Texts numbers{"5.4", "<2",  "<0.25", "NA",  "",     "1e3",  "0",   "12.75", "7",    "0.1",
                    "5,4", "inf", "-3",    ">30", "high", "=1+1", "'=2", "1e12",  "4.56", "'5"};

/// Sometimes protected as a spreadsheet-safe writer would, sometimes as a person types it.
std::string protectedAtWill(Generator& g, const std::string& text) {
    const bool special = !text.empty() && std::string{"=+-@'"}.find(text[0]) != std::string::npos;
    return special && g.oneIn(2) ? "'" + text : text;
}

struct Columns {
    Texts names;
    std::vector<std::size_t> order;

    void shuffle(Generator& g) {
        order.resize(names.size());
        for (std::size_t i = 0; i < order.size(); ++i) {
            order[i] = i;
        }
        std::shuffle(order.begin(), order.end(), g.engine());
    }
    Texts ordered(const Texts& cells) const {
        Texts out;
        for (const std::size_t i : order) {
            out.push_back(cells[i]);
        }
        return out;
    }
};

std::string fileOf(Generator& g, Columns columns, const std::vector<Texts>& rows) {
    columns.shuffle(g);
    CsvWriter csv{g, g.pick(Texts{"\n", "\r\n", "\r"})};
    csv.row(columns.ordered(columns.names));
    for (const Texts& row : rows) {
        if (g.oneIn(12)) {
            csv.blankLine();
        }
        csv.row(columns.ordered(row));
    }
    return (g.oneIn(3) ? "\xef\xbb\xbf" : "") + csv.text(!g.oneIn(3));
}

struct Ids {
    Texts foods;
    Texts subjects;
};

std::string samplesFile(Generator& g, const Ids& ids, const Texts& analytes, bool oneLineCells) {
    Columns columns{{"subject", "food", "time_min", "technician, room"}, {}};
    struct Extra {
        bool visit, period, nominal, replicate, remark;
    };
    const Extra has{g.oneIn(2), g.oneIn(2), g.oneIn(2), g.oneIn(2), g.oneIn(2)};
    const auto add = [&](bool wanted, const char* name) {
        if (wanted) {
            columns.names.emplace_back(name);
        }
    };
    add(has.visit, "visit");
    add(has.period, "period");
    add(has.nominal, "nominal_min");
    add(has.replicate, "replicate");
    add(has.remark, "remark");
    for (const std::string& analyte : analytes) {
        columns.names.push_back(analyte);
    }
    std::vector<Texts> rows;
    for (std::size_t i = 1 + g.below(25); i > 0; --i) {
        const bool byNominal = has.nominal && g.oneIn(4);
        Texts row{protectedAtWill(g, g.pick(ids.subjects)), g.pick(ids.foods),
                  byNominal ? g.pick(Texts{"", "NA"}) : g.pick(Texts{"-5", "0", "15", "30.5", "+60"}),
                  oneLineCells || !g.oneIn(6) ? "AB" : "two\nlines"};
        const auto put = [&row](bool wanted, const std::string& text) {
            if (wanted) {
                row.push_back(text);
            }
        };
        put(has.visit, std::to_string(1 + g.below(3)));
        put(has.period, g.pick(Texts{"", "NA", "1", "2"}));
        put(has.nominal, byNominal ? "45" : g.pick(Texts{"", "0", "15", "60"}));
        put(has.replicate, g.pick(Texts{"1", "2"}));
        put(has.remark, g.oneIn(2) ? "" : protectedAtWill(g, g.pick(hostile)));
        for (std::size_t a = 0; a < analytes.size(); ++a) {
            row.push_back(g.oneIn(3) ? g.pick(numbers) : std::to_string(g.value(0, 20)));
        }
        rows.push_back(std::move(row));
    }
    return fileOf(g, std::move(columns), rows);
}

std::string visitsFile(Generator& g, const Ids& ids) {
    Columns columns{{"subject", "food", "visit", "date", "meal_start", "remark", "room"}, {}};
    std::vector<Texts> rows;
    for (const std::string& subject : ids.subjects) {
        for (const std::string& food : ids.foods) {
            if (g.oneIn(2)) {
                rows.push_back({protectedAtWill(g, subject), food, std::to_string(1 + g.below(2)),
                                g.pick(Texts{"", "2026-02-03", "NA"}), g.pick(Texts{"", "08:05", "08:05:30"}),
                                protectedAtWill(g, g.pick(hostile)), "B2"});
            }
        }
    }
    return fileOf(g, std::move(columns), rows);
}

std::string subjectsFile(Generator& g, const Ids& ids) {
    Columns columns{{"subject", "sequence", "age_y", "ward"}, {}};
    std::vector<Texts> rows;
    for (const std::string& subject : ids.subjects) {
        if (!g.oneIn(5)) {
            rows.push_back({protectedAtWill(g, subject), g.pick(Texts{"AB", "BA", "", "-AB"}),
                            g.pick(Texts{"31", "", "28.5"}), "east"});
        }
    }
    return fileOf(g, std::move(columns), rows);
}

nlohmann::ordered_json studyJsonOf(Generator& g, const Ids& ids) {
    nlohmann::ordered_json json{{"format", "aftercurve-study"}, {"version", 1}, {"ethics", "2026/14"}};
    if (g.oneIn(2)) {
        json["title"] = g.pick(hostile);
    }
    for (const std::string& food : ids.foods) {
        nlohmann::ordered_json entry{{"id", food}, {"role", g.pick(Texts{"reference", "control", "test"})}};
        if (g.oneIn(2)) {
            entry["label"] = g.pick(hostile);
            entry["available_carbohydrate_g"] = 50;
            entry["recipe"] = "no. 7";
            entry["fibre_g"] = 4.5;
            if (g.oneIn(2)) {
                entry["parts"] = {{{"label", g.pick(hostile)}, {"carbohydrate_g", 20}, {"index", 51}}};
            }
        }
        json["foods"].push_back(entry);
    }
    json["analytes"] = {{{"id", "glucose"}, {"unit", "mmol/L"}, {"tube", "fluoride"}},
                        {{"id", "insulin"}, {"unit", "pmol/L"}, {"pmol_per_uiu", 6.945}},
                        {{"id", "-ghrelin"}, {"specimen", "serum"}}};
    if (g.oneIn(2)) {
        json["exclusions"] = {{{"subject", ids.subjects[0]}, {"reason", "vomited"}, {"room", "B2"}}};
    }
    if (g.oneIn(3)) {
        json["accepted"] = {{{"check", "duplicate-cv"}, {"food", ids.foods[0]}, {"because", "seen"}}};
    }
    if (g.oneIn(2)) {
        json["conduct"] = {{"population", g.pick(hostile)}, {"randomised", true}, {"room", "B2"}};
    }
    if (g.oneIn(2)) {
        json["plan"] = {{"window_end_min", 60}, {"comparator", ids.foods[0]}, {"signed_by", "AB"}};
    }
    return json;
}

std::string anyNumber(Generator& g) {
    return g.oneIn(2) ? g.pick(numbers) : std::to_string(g.value(0, 30));
}

/// A text that a column of the laboratory or of the diaries may well take; empty: it is none of these.
Texts laboratoryTexts(const Study& study, const std::string& name) {
    Texts texts;
    if (name == "sample") {
        for (const AssaySample& sample : study.assays.samples) {
            texts.push_back(sample.id);
        }
    } else if (name == "recipe") {
        for (const Recipe& recipe : study.fibre.recipes) {
            texts.push_back(recipe.id);
        }
    } else if (name == "replaced" || name == "by") {
        for (const Recipe& recipe : study.fibre.recipes) {
            for (const RecipePart& part : recipe.parts) {
                texts.push_back(part.material);
            }
        }
    } else if (name == "fraction") {
        texts.assign(fibreFractions.begin(), fibreFractions.end());
    } else if (name == "reference" || name == "blank" || name == "composite" || name == "serious") {
        return {"yes", "no", ""};
    } else if (name == "run" || name == "material" || name == "method" || name == "laboratory") {
        return {"A", "B", "kelp", "=x"};
    } else if (name == "basis") {
        return {"as-is", "dry", ""};
    } else if (name == "severity") {
        return {"mild", "severe", ""};
    } else if (name == "related") {
        return {"possible", ""};
    } else if (name == "day" || name == "least" || name == "most" || name == "threshold" ||
               name == "stools" || name == "stool_form" || name.ends_with("_percent") ||
               name.ends_with("_per_100g")) {
        return {"0", "1", "2", "3", "4", "7", ""};
    } else if (name == "value") {
        return {"41.25", "7", "0.5", "5,4", ""};
    }
    const bool isItem = std::any_of(study.diary.items.begin(), study.diary.items.end(),
                                    [&](const DiaryItem& item) { return item.id == name; });
    return isItem ? Texts{"0", "1", "2", "3", ""} : texts;
}

/// A text that the column may well take.
std::string fittingText(Generator& g, const Study& study, StudyTable table, const TableColumn& column) {
    const std::string& name = column.name;
    if (table != StudyTable::subjects && name == "subject" && !study.subjects.empty()) {
        return g.pick(study.subjects).id;
    }
    if (name == "food" && !study.foods.empty()) {
        return g.pick(study.foods).id;
    }
    if (name == "role") {
        return g.pick(Texts{"reference", "control", "test"});
    }
    if (name == "date") {
        return g.pick(Texts{"2026-03-04", ""});
    }
    if (name == "meal_start") {
        return g.pick(Texts{"09:30", ""});
    }
    if (name == "unit") {
        return g.pick(Texts{"mmol/L", "pmol/L", "mg/dL", "", "µIU/mL"});
    }
    if (name == "visit" || name == "period" || name == "replicate") {
        return g.pick(Texts{"1", "2", "3", ""});
    }
    if (const Texts texts = laboratoryTexts(study, name); !texts.empty()) {
        return g.pick(texts);
    }
    return column.number ? anyNumber(g) : anyText(g);
}

Change randomCell(Generator& g, const Study& study, StudyTable table) {
    const auto columns = columnsOf(study, table);
    SetCell cell{table, g.below(rowCount(study, table) + 1), g.below(columns.size()), {}};
    cell.text = g.oneIn(6) ? anyText(g) : fittingText(g, study, table, columns[cell.column]);
    return cell;
}

Change randomRow(Generator& g, const Study& study, StudyTable table) {
    InsertRow row{table, g.below(rowCount(study, table) + 1), {}};
    for (const TableColumn& column : columnsOf(study, table)) {
        row.cells.push_back(g.oneIn(20) ? anyText(g) : fittingText(g, study, table, column));
    }
    return row;
}

}  // namespace

std::string anyText(Generator& g) {
    static const Texts odd{"",
                           "5,4",
                           "<2",
                           "NA",
                           "1e3",
                           "inf",
                           "a\nb",
                           "\t=1",
                           " x ",
                           "\xff\xfe",
                           std::string{"n\0l", 3},
                           "\u202eevil",
                           "12"};
    return g.oneIn(3) ? g.pick(odd) : g.oneIn(2) ? g.pick(hostile) : g.id(g.below(5));
}

std::map<std::string, std::string> randomFolder(Generator& g, bool oneLineCells) {
    Ids ids;
    for (std::size_t i = 1 + g.below(3); i > 0; --i) {
        ids.foods.push_back(g.id(i));
    }
    ids.subjects = {"01", "-2", "=3", "'4", "'-5", "µ6"};
    std::shuffle(ids.subjects.begin(), ids.subjects.end(), g.engine());
    ids.subjects.resize(1 + g.below(ids.subjects.size()));
    nlohmann::ordered_json json = studyJsonOf(g, ids);
    std::map<std::string, std::string> files;
    const std::string glucose = g.pick(Texts{"glucose", "glucose [mg/dL]", "glucose [mmol/l]"});
    const std::string insulin = g.pick(Texts{"insulin", "insulin [uIU/mL]"});
    if (g.oneIn(2)) {
        json["samples"] = {"a.csv", "b.csv"};
        files["a.csv"] = samplesFile(g, ids, {glucose, "-ghrelin"}, oneLineCells);
        files["b.csv"] = samplesFile(g, ids, {insulin}, oneLineCells);
    } else {
        json["samples"] = {"a.csv"};
        files["a.csv"] = samplesFile(g, ids, {glucose, insulin, "-ghrelin"}, oneLineCells);
    }
    if (g.oneIn(2)) {
        json["subjects"] = "subjects.csv";
        files["subjects.csv"] = subjectsFile(g, ids);
    }
    if (g.oneIn(2)) {
        json["visits"] = "visits.csv";
        files["visits.csv"] = visitsFile(g, ids);
    }
    files["study.json"] = (g.oneIn(4) ? "\xef\xbb\xbf" : "") + json.dump(g.oneIn(2) ? 1 : -1);
    return files;
}

Change randomChange(Generator& g, const Study& study, bool samplesOnly) {
    const StudyTable table =
        samplesOnly ? StudyTable::samples
                    : g.pick(std::vector{StudyTable::samples, StudyTable::samples, StudyTable::visits,
                                         StudyTable::subjects, StudyTable::foods, StudyTable::analytes});
    switch (g.below(samplesOnly ? 6 : 14)) {
        case 0:
            return randomRow(g, study, table);
        case 1:
            return RemoveRow{table, g.below(rowCount(study, table) + 1)};
        case 6:
            return SetTitle{anyText(g)};
        case 7: {
            SetPlan set{study.plan};
            set.plan.windowEndMin = g.value(30, 240);
            set.plan.washoutDays = g.oneIn(2) ? std::optional{7.0} : std::nullopt;
            set.plan.secondaryMeasures = g.oneIn(2) ? Texts{"peak"} : Texts{};
            set.plan.comparator = g.oneIn(2) ? anyText(g) : "";
            return set;
        }
        case 8: {
            SetExclusions set{study.exclusions};
            set.exclusions.push_back({g.oneIn(2) ? "01" : "",
                                      g.oneIn(2) ? "nothing" : "",
                                      1,
                                      "",
                                      g.oneIn(3) ? "" : anyText(g),
                                      "AB",
                                      "2026-03-04",
                                      {}});
            return set;
        }
        case 9: {
            SetAccepted set{study.accepted};
            set.accepted.push_back(
                {"washout", "", "", {}, g.oneIn(2) ? "glucose" : "", 30.0, anyText(g), "AB", ""});
            return set;
        }
        case 10: {
            SetRegistered set{study.registered};
            Plan plan = study.plan;
            plan.seed = g.below(1000);
            set.registered.push_back(registrationOf(plan, "2026-03-04", "AB", g.oneIn(2) ? "" : anyText(g)));
            return set;
        }
        case 11: {
            SetConduct set{study.conduct};
            set.conduct.blinding = anyText(g);
            set.conduct.fastHours = g.oneIn(2) ? std::optional{g.value(0, 20)} : std::nullopt;
            return set;
        }
        case 12: {
            SetParts set{g.below(study.foods.size() + 1), {}};
            for (std::size_t i = g.below(3); i > 0; --i) {
                set.parts.push_back({anyText(g), g.value(0, 60), g.value(0, 120), IndexScale::whiteBread,
                                     g.oneIn(2) ? "invented" : ""});
            }
            return set;
        }
        case 13: {
            SetFigures set{study.figures};
            FigureSpec figure;
            figure.id = "f" + std::to_string(g.below(5));
            figure.title = anyText(g);
            figure.columns = static_cast<int>(g.below(7));
            PanelSpec panel;
            panel.kind = "curves_mean";
            panel.analyte = "glucose";
            panel.food = g.oneIn(2) ? "bread" : "";
            figure.panels = {panel};
            set.figures.push_back(figure);
            return set;
        }
        default:
            return randomCell(g, study, table);
    }
}

Change randomLaboratoryChange(Generator& g, const Study& study) {
    const StudyTable table = g.pick(
        std::vector{StudyTable::assaySamples, StudyTable::assays, StudyTable::fibre, StudyTable::recipes,
                    StudyTable::recipeParts, StudyTable::diaryItems, StudyTable::diary, StudyTable::events});
    switch (g.below(12)) {
        case 0:
        case 1:
            return randomRow(g, study, table);
        case 2:
            return RemoveRow{table, g.below(rowCount(study, table) + 1)};
        case 3: {
            SetAssaySettings set{study.assays};
            set.settings.rapidCutMin = g.pick(std::vector{10.0, 20.0, 130.0});
            set.settings.comparison = g.pick(Texts{"tukey", "dunnett", "none", "all"});
            return set;
        }
        case 4: {
            SetFibreSettings set{study.fibre};
            set.settings.region = g.oneIn(2) ? "eu" : anyText(g);
            set.settings.targetG = g.oneIn(2) ? std::optional{g.value(-5, 40)} : std::nullopt;
            return set;
        }
        case 5: {
            SetDiarySettings set{study.diary};
            set.settings.plannedDays = static_cast<int>(g.below(1200));
            set.settings.prorate = g.oneIn(2);
            return set;
        }
        default:
            return randomCell(g, study, table);
    }
}

}  // namespace aftercurve::test
