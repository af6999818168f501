#include "core/intake/check_mapping.h"

#include <algorithm>
#include <map>
#include <set>

#include "core/base/number_text.h"
#include "core/files/excerpt.h"
#include "core/files/privacy_columns.h"
#include "core/files/problem_list.h"
#include "core/intake/check_table.h"
#include "core/intake/table_binding.h"
#include "core/study/units.h"

namespace aftercurve {

namespace {

constexpr std::size_t mostProblems = 500;

void report(ProblemList& problems, Weight weight, const std::string& key, std::string what,
            std::string remedy) {
    problems.add(weight, problemAt("", 0, key, std::move(what), std::move(remedy)));
}

void checkSources(const Mapping& mapping, std::span<const InputTable> tables, ProblemList& problems) {
    std::size_t given = 0;
    for (const InputTable& table : tables) {
        given = std::max(given, table.source);
    }
    for (std::size_t i = 0; i < mapping.tables.size(); ++i) {
        const TableMapping& entry = mapping.tables[i];
        if (entry.use && entry.source > given) {
            report(problems, Weight::fatal, "tables[" + std::to_string(i) + "].source",
                   "the mapping speaks of file " + std::to_string(entry.source) +
                       (entry.file.empty() ? "" : " (" + quote(entry.file) + ")") + ", but " +
                       std::to_string(given) + (given == 1 ? " file is" : " files are") + " given",
                   "give the files in the order of the mapping, or set use of that table to false");
        }
    }
    const auto entries = entriesFor(mapping, tables);
    for (std::size_t t = 0; t < tables.size(); ++t) {
        if (!entries[t]) {
            const bool workbook = tables[t].workbook;
            problems.add(workbook ? Weight::note : Weight::fatal,
                         problemAt(nameOf(tables[t]), 0, "tables",
                                   "the mapping has no entry for this table; it is not used",
                                   "add an entry to tables, with use false to leave it out"));
        }
    }
    const bool any = std::any_of(entries.begin(), entries.end(), [&](const auto& entry) {
        const auto holdsValues = [](Layout layout) {
            return layout != Layout::visits && layout != Layout::subjects;
        };
        return entry && mapping.tables[*entry].use && holdsValues(mapping.tables[*entry].layout);
    });
    if (!any) {
        report(problems, Weight::fatal, "tables", "no table with concentrations is used",
               "set use to true and the layout and columns of the table that holds them");
    }
}

void checkFoods(const Mapping& mapping, ProblemList& problems) {
    std::map<std::string, std::string> owner;
    std::set<std::string> ids;
    bool compared = false;
    bool open = false;
    for (std::size_t f = 0; f < mapping.foods.size(); ++f) {
        const FoodMapping& food = mapping.foods[f];
        const std::string key = "foods[" + std::to_string(f) + "]";
        if (food.id.empty() || food.id.size() > 100 || hasControlCharacters(food.id)) {
            report(problems, Weight::fatal, key + ".id",
                   "a food has an id that cannot be used: " + quote(food.id),
                   "give it 1 to 100 bytes without control characters");
        }
        if (!ids.insert(food.id).second) {
            report(problems, Weight::fatal, key + ".id", "the food " + quote(food.id) + " is declared twice",
                   "keep one entry and put all spellings into its texts");
        }
        std::vector<std::string> texts = food.texts;
        texts.push_back(food.id);
        for (const std::string& text : texts) {
            const auto [at, isNew] = owner.emplace(text, food.id);
            if (!isNew && at->second != food.id) {
                report(problems, Weight::fatal, key + ".texts",
                       quote(text) + " stands for two foods, " + quote(at->second) + " and " + quote(food.id),
                       "keep it in one of them");
            }
        }
        if (!food.role) {
            open = true;
            report(problems, Weight::fatal, key + ".role", "the food " + quote(food.id) + " has no role",
                   "set role to reference, control or test");
        }
        compared = compared || (food.role && *food.role != FoodRole::test);
    }
    if (mapping.foods.empty()) {
        report(problems, Weight::fatal, "foods", "the mapping declares no food",
               "add each food with id, label, role and the texts that stand for it in the files");
    } else if (!compared && !open) {
        report(problems, Weight::warning, "foods", "no food is the reference or the control",
               "without one there is no index, and the plan must name the comparator");
    }
}

void checkAnalytes(const Mapping& mapping, ProblemList& problems) {
    std::set<std::string> ids;
    for (std::size_t a = 0; a < mapping.analytes.size(); ++a) {
        const AnalyteMapping& analyte = mapping.analytes[a];
        const std::string key = "analytes[" + std::to_string(a) + "]";
        if (!ids.insert(analyte.id).second || analyte.id.empty() || analyte.id.size() > 100) {
            report(problems, Weight::fatal, key + ".id",
                   "the analyte id " + quote(analyte.id) + " is empty, too long or declared twice",
                   "give each analyte its own id");
        }
        const bool needed = needsFileUnit(mapping, analyte.id);
        if (needed && analyte.fileUnit.empty()) {
            report(problems, Weight::fatal, key + ".file_unit",
                   "the unit of " + quote(analyte.id) + " is not given",
                   "set file_unit to the unit of the values in the file" +
                       (isKnownAnalyte(analyte.id) ? ": " + unitsOf(analyte.id) : std::string{}));
        }
        for (const std::string& unit : {analyte.unit, analyte.fileUnit}) {
            if (!unit.empty() && !conversionFactor(analyte.id, unit, unit)) {
                report(problems, Weight::fatal, key + ".unit",
                       quote(unit) + " is not a known unit of " + analyte.id,
                       "use one of " + unitsOf(analyte.id));
            }
        }
    }
}

void checkTexts(const Mapping& mapping, ProblemList& problems) {
    for (std::size_t i = 0; i < mapping.limitTexts.size(); ++i) {
        const LimitText& text = mapping.limitTexts[i];
        const std::string key = "limit_texts[" + std::to_string(i) + "]";
        if (text.limit && *text.limit <= 0.0) {
            report(problems, Weight::fatal, key + ".limit",
                   "the limit of " + quote(text.text) + " is not above 0",
                   "give the limit in the unit of the column");
        }
        if (!text.limit) {
            report(problems, Weight::fatal, key + ".limit",
                   "the limit that " + quote(text.text) + " stands for is not given",
                   "set limit, in the unit of the column");
        }
    }
    for (std::size_t i = 0; i < mapping.timeTexts.size(); ++i) {
        if (!mapping.timeTexts[i].minutes) {
            report(problems, Weight::fatal, "time_texts[" + std::to_string(i) + "].minutes",
                   "the time that " + quote(mapping.timeTexts[i].text) + " stands for is not given",
                   "set minutes, from the first bite");
        }
    }
    if (!mapping.subjectDigits) {
        report(problems, Weight::fatal, "subject_digits",
               "codes differ in leading zeros only, and it is not said whether they are one",
               "set subject_digits to the number of digits of a code, or to 0 where they are different "
               "subjects");
    }
    if (!mapping.dilution && hasColumn(mapping, ColumnRole::dilution)) {
        report(problems, Weight::fatal, "dilution", "it is not said what the dilution column means",
               "set dilution to already-applied or multiply, or the role of the column to ignore");
    }
}

}  // namespace

std::vector<Problem> checkMapping(const Mapping& mapping, std::span<const InputTable> tables) {
    ProblemList problems{mostProblems};
    checkSources(mapping, tables, problems);
    checkFoods(mapping, problems);
    checkAnalytes(mapping, problems);
    checkTexts(mapping, problems);
    const auto entries = entriesFor(mapping, tables);
    for (std::size_t t = 0; t < tables.size(); ++t) {
        if (!entries[t]) {
            continue;
        }
        if (!mapping.tables[*entries[t]].use) {
            problems.add(Weight::note,
                         problemAt(nameOf(tables[t]), 0, "tables[" + std::to_string(*entries[t]) + "].use",
                                   "the mapping leaves this table out"));
            continue;
        }
        checkTable(mapping, *entries[t], tables[t], problems);
    }
    return problems.take();
}

}  // namespace aftercurve
