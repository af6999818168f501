#include "core/intake/guess_study.h"

#include <algorithm>
#include <map>
#include <set>

#include "core/base/number_text.h"
#include "core/files/excerpt.h"
#include "core/intake/fold_text.h"
#include "core/study/units.h"

namespace aftercurve {

namespace {

std::string tableKey(std::size_t table) {
    return "tables[" + std::to_string(table) + "]";
}

/// "Sheet1", "Tabelle 2", "data": names that say nothing.
bool saysNothing(std::string_view sheet) {
    std::string folded = foldedWords(sheet);
    while (!folded.empty() && ((folded.back() >= '0' && folded.back() <= '9') || folded.back() == ' ')) {
        folded.pop_back();
    }
    static const std::set<std::string, std::less<>> names{
        "",     "sheet", "tabelle", "feuil",   "hoja", "blad",  "ark",    "taul",   "leht",
        "lapa", "data",  "daten",   "results", "page", "table", "export", "samples"};
    return names.contains(folded);
}

/// "S01", "P 7", "12": a code rather than a food.
bool looksLikeCode(std::string_view text) {
    const std::string folded = foldedWords(text);
    std::size_t letters = 0;
    std::size_t digits = 0;
    for (const char c : folded) {
        letters += c >= 'a' && c <= 'z' ? 1 : 0;
        digits += c >= '0' && c <= '9' ? 1 : 0;
    }
    return digits > 0 && letters <= 3;
}

/// A column of values of one table.
struct ValueColumn {
    std::size_t column = 0;  ///< from 0
    std::string analyte;
    std::size_t listed = 0;  ///< position in TableMapping::columns; their number where not listed
};

std::vector<ValueColumn> valueColumns(const TableGuess& part, const TableMapping& how) {
    std::vector<ValueColumn> columns;
    std::set<std::size_t> listed;
    for (std::size_t i = 0; i < how.columns.size(); ++i) {
        listed.insert(how.columns[i].column - 1);
        if (how.columns[i].role == ColumnRole::analyte) {
            columns.push_back({how.columns[i].column - 1, analyteOf(how, how.columns[i]), i});
        }
    }
    for (std::size_t c = 0; how.othersAreSubjects && c < part.facts.columns.size(); ++c) {
        if (!listed.contains(c) && c < part.head.head.headers.size() && !part.head.head.headers[c].empty()) {
            columns.push_back({c, how.analyte, how.columns.size()});
        }
    }
    return columns;
}

std::vector<std::string> unitsFor(std::string_view analyte) {
    std::vector<std::string> units;
    for (const Unit& unit : unitTable()) {
        if (unit.analyte == analyte) {
            units.emplace_back(unit.unit);
        }
    }
    return units;
}

/// Values of one analyte in one table with one unit.
struct UnitGroup {
    std::vector<double> values;
    std::vector<std::size_t> listed;
    std::string header;  ///< of its first column
};

void openUnit(GuessedMapping& guessed, std::size_t analyte, const std::string& ask) {
    guessed.questions.push_back({"analytes[" + std::to_string(analyte) + "].file_unit", ask,
                                 unitsFor(guessed.mapping.analytes[analyte].id)});
}

std::string fittingUnits(std::string_view analyte, double median) {
    std::string fitting;
    for (const std::string& unit : unitsFor(analyte)) {
        if (fitsUnit(analyte, unit, median)) {
            fitting += (fitting.empty() ? "" : " or ") + unit;
        }
    }
    return fitting.empty() ? "fits none of its units" : "fits " + fitting;
}

}  // namespace

void guessOrigins(std::span<const InputTable> tables, std::vector<TableGuess>& parts,
                  GuessedMapping& guessed) {
    std::set<std::size_t> sources;
    for (const TableGuess& part : parts) {
        if (part.how.use && part.hasValues) {
            sources.insert(part.how.source);
        }
    }
    const auto tellsFood = [&](std::size_t t) {
        const std::string sheet = originText(tables[t], Origin::sheet);
        return parts[t].how.use && parts[t].foodOpen && !saysNothing(sheet) && analyteNamedIn(sheet).empty();
    };
    std::set<std::size_t> bySheet;  // workbooks with a sheet that can only be named by its food
    for (std::size_t t = 0; t < parts.size(); ++t) {
        if (tellsFood(t)) {
            bySheet.insert(parts[t].how.source);
        }
    }
    for (std::size_t t = 0; t < parts.size(); ++t) {
        TableGuess& part = parts[t];
        if (!part.how.use) {
            continue;
        }
        const std::string sheet = originText(tables[t], Origin::sheet);
        const std::string file = originText(tables[t], Origin::file);
        // "Glucose drink" beside "Rye bread" is a food, "Glucose" is not.
        const bool foodBeside = bySheet.contains(part.how.source) && wordsOf(foldedWords(sheet)).size() > 1;
        bool sheetFree = !saysNothing(sheet) && (analyteNamedIn(sheet).empty() || foodBeside);
        bool fileFree = sources.size() > 1 && analyteNamedIn(file).empty();
        const auto say = [&](const char* key, const std::string& what, const std::string& name,
                             Confidence confidence) {
            part.items.push_back({tableKey(t) + key, what + " of " + nameOf(tables[t]) + " is " + quote(name),
                                  "no column tells it, and the name is no analyte alone", confidence});
        };
        if (part.subjectOpen) {
            if (sheetFree && looksLikeCode(sheet)) {
                part.how.subjectFrom = Origin::sheet;
                sheetFree = false;
                say(".subject_from", "the subject", sheet, Confidence::likely);
            } else if (fileFree && looksLikeCode(file)) {
                part.how.subjectFrom = Origin::file;
                fileFree = false;
                say(".subject_from", "the subject", file, Confidence::unsure);
            } else {
                part.how.subjectFrom = Origin::fixed;
                guessed.questions.push_back({tableKey(t) + ".subject",
                                             "Whose values are those of " + nameOf(tables[t]) +
                                                 "? No column, sheet or file name tells the subject.",
                                             {}});
            }
        }
        if (part.foodOpen) {
            if (sheetFree) {
                part.how.foodFrom = Origin::sheet;
                say(".food_from", "the food", sheet, Confidence::likely);
            } else if (fileFree) {
                part.how.foodFrom = Origin::file;
                say(".food_from", "the food", file, Confidence::unsure);
            } else {
                part.how.foodFrom = Origin::fixed;
                guessed.questions.push_back(
                    {tableKey(t) + ".food",
                     "Which food was eaten in " + nameOf(tables[t]) +
                         "? No column, sheet or file name tells it; name it here and in foods.",
                     {}});
            }
        }
        if (part.analyteOpen) {
            guessed.questions.push_back(
                {tableKey(t) + ".analyte",
                 "What was measured in " + nameOf(tables[t]) +
                     "? Neither headers nor titles nor names say it; name it here and in analytes.",
                 {"glucose", "insulin", "c-peptide", "triglycerides"}});
        }
    }
}

void guessUnits(const std::vector<TableGuess>& parts, GuessedMapping& guessed) {
    Mapping& mapping = guessed.mapping;
    std::map<std::string, std::string> asks;  // by analyte, the first reason to ask
    for (std::size_t t = 0; t < parts.size(); ++t) {
        TableMapping& how = mapping.tables[t];
        if (!how.use) {
            continue;
        }
        if (!parts[t].titleUnit.empty() &&
            conversionFactor(how.analyte, parts[t].titleUnit, parts[t].titleUnit)) {
            how.unit = how.analyte.empty() ? std::string{} : parts[t].titleUnit;
        }
        std::map<std::pair<std::string, std::string>, UnitGroup> groups;
        for (const ValueColumn& column : valueColumns(parts[t], how)) {
            if (column.analyte.empty()) {
                continue;
            }
            const bool known = std::any_of(mapping.analytes.begin(), mapping.analytes.end(),
                                           [&](const AnalyteMapping& a) { return a.id == column.analyte; });
            if (!known) {
                mapping.analytes.push_back({column.analyte, {}, {}, {}, 6.00});
            }
            std::string unit =
                column.listed < how.columns.size() ? how.columns[column.listed].unit : std::string{};
            unit = unit.empty() ? how.unit : unit;
            UnitGroup& group = groups[{column.analyte, unit}];
            group.listed.push_back(column.listed);
            if (group.header.empty() && column.column < parts[t].head.head.headers.size()) {
                group.header = parts[t].head.head.headers[column.column];
            }
            const auto& values = parts[t].facts.columns[column.column].values;
            group.values.insert(group.values.end(), values.begin(), values.end());
        }
        for (auto& [name, group] : groups) {
            const auto& [analyte, unit] = name;
            ColumnFacts facts;
            facts.values = std::move(group.values);
            const auto median = facts.median();
            const std::string values =
                median ? "; the median " + plainNumber(*median) + " " + fittingUnits(analyte, *median)
                       : std::string{};
            const std::string where = quote(group.header) + " of " + how.file;
            if (unit.empty()) {
                asks.emplace(analyte, "In which unit is " + analyte + "? Neither the header " + where +
                                          " nor a title gives one" + values + ".");
                continue;
            }
            const bool isUnit = conversionFactor(analyte, unit, unit).ok();
            if (isUnit && (!median || fitsUnit(analyte, unit, *median))) {
                continue;
            }
            asks.emplace(analyte, "In which unit is " + analyte + "? The header " + where +
                                      " or its title says " + unit +
                                      (isUnit ? "" : ", which is no unit of " + analyte) + values + ".");
            for (const std::size_t listed : group.listed) {
                if (listed < how.columns.size()) {
                    how.columns[listed].unit.clear();
                }
            }
            how.unit.clear();
        }
    }
    for (std::size_t a = 0; a < mapping.analytes.size(); ++a) {
        AnalyteMapping& analyte = mapping.analytes[a];
        for (const TableMapping& how : mapping.tables) {
            for (const ColumnMapping& column : how.columns) {
                if (how.use && analyte.unit.empty() && column.role == ColumnRole::analyte &&
                    analyteOf(how, column) == analyte.id) {
                    analyte.unit = unitOf(mapping, how, column);
                }
            }
            if (how.use && analyte.unit.empty() && how.othersAreSubjects && how.analyte == analyte.id) {
                analyte.unit = how.unit;
            }
        }
        if (needsFileUnit(mapping, analyte.id)) {
            const auto ask = asks.find(analyte.id);
            openUnit(guessed, a,
                     ask != asks.end() ? ask->second
                                       : "In which unit is " + analyte.id + " where no header gives one?");
        } else {
            guessed.items.push_back({"analytes[" + std::to_string(a) + "].unit",
                                     analyte.id + " of the study is in " + analyte.unit,
                                     "the first column of it is, and its values fit", Confidence::likely});
        }
    }
}

void guessFoods(std::span<const InputTable> tables, const std::vector<TableGuess>& parts,
                GuessedMapping& guessed) {
    Mapping& mapping = guessed.mapping;
    std::vector<std::string> texts;
    const auto add = [&](std::string_view text) {
        const bool known = std::find(texts.begin(), texts.end(), text) != texts.end();
        const auto& missing = mapping.missingWords;
        if (!known && !text.empty() && text.front() != '#' &&
            std::find(missing.begin(), missing.end(), text) == missing.end()) {
            texts.emplace_back(text);
        }
    };
    for (std::size_t t = 0; t < parts.size(); ++t) {
        const TableMapping& how = mapping.tables[t];
        if (!how.use || how.layout == Layout::subjects) {
            continue;
        }
        for (const ColumnMapping& column : how.columns) {
            if (column.role == ColumnRole::food && how.foodFrom == Origin::column) {
                for (const SeenText& seen : parts[t].facts.columns[column.column - 1].texts) {
                    add(seen.text);
                }
            }
        }
        add(originText(tables[t], how.foodFrom));
    }
    std::map<std::string, std::size_t> byWords;
    for (const std::string& text : texts) {
        const std::string words = foldedWords(text);
        const auto [at, isNew] = byWords.emplace(words.empty() ? text : words, mapping.foods.size());
        if (!isNew) {
            FoodMapping& food = mapping.foods[at->second];
            food.texts.push_back(text);
            guessed.items.push_back({"foods[" + std::to_string(at->second) + "].texts",
                                     quote(text) + " is the food " + quote(food.id),
                                     "only capitals, accents or marks differ", Confidence::likely});
            continue;
        }
        FoodMapping food;
        const bool isId =
            text.find_first_not_of("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_.") ==
            std::string::npos;
        food.id = isId && text.size() <= 60 ? text : idFrom(text);
        food.label = text;
        for (int n = 2; std::any_of(mapping.foods.begin(), mapping.foods.end(),
                                    [&](const FoodMapping& other) { return other.id == food.id; });
             ++n) {
            food.id = idFrom(text) + "-" + std::to_string(n);
        }
        if (food.id != text) {
            food.texts.push_back(text);
        }
        mapping.foods.push_back(std::move(food));
    }
    std::size_t known = 0;
    for (FoodMapping& food : mapping.foods) {
        food.role = foodRoleNamedIn(food.label);
        known += food.role ? 1U : 0U;
    }
    const bool oneIsCompared = known > 0 && known < mapping.foods.size();
    for (std::size_t f = 0; f < mapping.foods.size(); ++f) {
        FoodMapping& food = mapping.foods[f];
        const std::string key = "foods[" + std::to_string(f) + "].role";
        if (food.role) {
            guessed.items.push_back({key, quote(food.id) + " is the " + std::string{wordFor(*food.role)},
                                     "its name says so", Confidence::likely});
        } else if (oneIsCompared) {
            food.role = FoodRole::test;
            guessed.items.push_back({key, quote(food.id) + " is a test food",
                                     "another food is named as reference or control", Confidence::likely});
        } else {
            guessed.questions.push_back(
                {key,
                 "What is the food " + quote(food.id) +
                     " to the study? No name among the foods tells the reference or the control.",
                 {"reference", "control", "test"}});
        }
    }
}

}  // namespace aftercurve
