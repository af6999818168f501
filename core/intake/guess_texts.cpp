#include <algorithm>
#include <map>
#include <set>

#include "core/base/number_text.h"
#include "core/files/excerpt.h"
#include "core/intake/fold_text.h"
#include "core/intake/guess_study.h"
#include "core/intake/time_text.h"

namespace aftercurve {

namespace {

constexpr std::size_t mostAsked = 10;

/// A column of a used table with its facts.
struct Seen {
    const TableGuess& part;
    const TableMapping& how;
    const ColumnMapping& column;
    const ColumnFacts& facts;
};

std::vector<Seen> columnsOf(const std::vector<TableGuess>& parts, const Mapping& mapping,
                            std::initializer_list<ColumnRole> roles) {
    std::vector<Seen> found;
    for (std::size_t t = 0; t < parts.size(); ++t) {
        const TableMapping& how = mapping.tables[t];
        for (const ColumnMapping& column : how.columns) {
            if (how.use && std::find(roles.begin(), roles.end(), column.role) != roles.end()) {
                found.push_back({parts[t], how, column, parts[t].facts.columns[column.column - 1]});
            }
        }
    }
    return found;
}

std::string placeOf(const Seen& seen, const SeenText& text) {
    return seen.how.file + ":" + std::to_string(text.row);
}

bool isMissing(const Mapping& mapping, std::string_view text) {
    return std::find(mapping.missingWords.begin(), mapping.missingWords.end(), text) !=
           mapping.missingWords.end();
}

void guessDates(const std::vector<TableGuess>& parts, GuessedMapping& guessed) {
    std::size_t dayFirst = 0;
    std::size_t monthFirst = 0;
    std::size_t either = 0;
    bool dotted = false;
    std::string example;
    for (const Seen& seen : columnsOf(parts, guessed.mapping, {ColumnRole::date})) {
        dayFirst += seen.facts.dayFirst;
        monthFirst += seen.facts.monthFirst;
        either += seen.facts.eitherOrder;
        dotted = dotted || seen.facts.dotted;
        for (const SeenText& text : seen.facts.texts) {
            if (example.empty() && dateFormOf(text.text) == DateForm::either) {
                example = text.text;
            }
        }
    }
    const auto say = [&](DateOrder order, const std::string& why, Confidence confidence) {
        guessed.mapping.dateOrder = order;
        guessed.items.push_back(
            {"date_order",
             order == DateOrder::dayMonth ? "dates are written day first" : "dates are written month first",
             why, confidence});
    };
    if (dayFirst > 0 && monthFirst > 0) {
        guessed.questions.push_back(
            {"date_order",
             "Are dates written day first or month first? Some can only be the one, some only "
             "the other; mend those that are wrong.",
             {"day-month", "month-day"}});
    } else if (dayFirst > 0) {
        say(DateOrder::dayMonth, "some can be read in no other way", Confidence::sure);
    } else if (monthFirst > 0) {
        say(DateOrder::monthDay, "some can be read in no other way", Confidence::sure);
    } else if (either > 0 && dotted) {
        say(DateOrder::dayMonth, "they are written with points", Confidence::likely);
    } else if (either > 0) {
        guessed.questions.push_back({"date_order",
                                     "Are dates written day first or month first? " + quote(example) +
                                         " and all others read both ways.",
                                     {"day-month", "month-day"}});
    }
}

void guessDilution(const std::vector<TableGuess>& parts, GuessedMapping& guessed) {
    const auto columns = columnsOf(parts, guessed.mapping, {ColumnRole::dilution});
    if (columns.empty()) {
        return;
    }
    const bool allOne = std::all_of(columns.begin(), columns.end(), [](const Seen& seen) {
        return std::all_of(seen.facts.values.begin(), seen.facts.values.end(),
                           [](double v) { return v == 1.0; });
    });
    if (allOne) {
        guessed.mapping.dilution = DilutionRule::alreadyApplied;
        guessed.items.push_back(
            {"dilution", "the dilution changes nothing", "all factors read are 1", Confidence::likely});
        return;
    }
    guessed.questions.push_back({"dilution",
                                 "Are the values beside " + nameOf(columns[0].column) + " of " +
                                     columns[0].how.file +
                                     " already multiplied by the dilution, or are they to be multiplied?",
                                 {"already-applied", "multiply"}});
}

std::string withoutZeros(const std::string& code) {
    const std::size_t first = code.find_first_not_of('0');
    return first == std::string::npos ? "0" : code.substr(first);
}

bool isWholeNumber(const std::string& code) {
    return !code.empty() && code.find_first_not_of("0123456789") == std::string::npos;
}

void guessCodes(const std::vector<TableGuess>& parts, GuessedMapping& guessed) {
    std::map<std::string, std::set<std::string>> spellings;
    std::size_t longest = 0;
    const auto add = [&](const std::string& code) {
        if (isWholeNumber(code)) {
            spellings[withoutZeros(code)].insert(code);
            longest = std::max(longest, code.size());
        }
    };
    for (const Seen& seen : columnsOf(parts, guessed.mapping, {ColumnRole::subject})) {
        for (const SeenText& text : seen.facts.texts) {
            add(text.text);
        }
    }
    for (std::size_t t = 0; t < parts.size(); ++t) {
        if (guessed.mapping.tables[t].use && guessed.mapping.tables[t].othersAreSubjects) {
            for (const std::string& header : parts[t].head.head.lower) {
                add(header);
            }
        }
    }
    const auto two = std::find_if(spellings.begin(), spellings.end(),
                                  [](const auto& entry) { return entry.second.size() > 1; });
    if (two != spellings.end()) {
        guessed.mapping.subjectDigits.reset();
        guessed.questions.push_back({"subject_digits",
                                     "Are " + quote(*two->second.begin()) + " and " +
                                         quote(*two->second.rbegin()) +
                                         " one subject? If so give the number of digits of a code, else 0.",
                                     {"0", std::to_string(longest)}});
    }
}

void guessSkippedRows(const std::vector<TableGuess>& parts, GuessedMapping& guessed) {
    std::set<std::string> words;
    for (const Seen& seen : columnsOf(parts, guessed.mapping,
                                      {ColumnRole::subject, ColumnRole::time, ColumnRole::nominalTime})) {
        for (const SeenText& text : seen.facts.texts) {
            if (isStatisticWord(text.text) && words.insert(text.text).second) {
                guessed.mapping.skipRowsNamed.push_back(text.text);
                guessed.items.push_back({"skip_rows_named",
                                         "rows named " + quote(text.text) + " are left out",
                                         "the word is that of a computed figure", Confidence::likely});
            }
        }
    }
}

void guessTimeTexts(const std::vector<TableGuess>& parts, GuessedMapping& guessed) {
    std::set<std::string> words;
    for (const Seen& seen : columnsOf(parts, guessed.mapping, {ColumnRole::time, ColumnRole::nominalTime})) {
        for (const SeenText& text : seen.facts.odd) {
            const auto& skipped = guessed.mapping.skipRowsNamed;
            if (minutesFrom(text.text) || isMissing(guessed.mapping, text.text) || text.text.front() == '#' ||
                std::find(skipped.begin(), skipped.end(), text.text) != skipped.end() ||
                words.size() == mostAsked || !words.insert(text.text).second) {
                continue;
            }
            guessed.questions.push_back(
                {"time_texts[" + std::to_string(guessed.mapping.timeTexts.size()) + "].minutes",
                 "Which time is " + quote(text.text) + " (" + placeOf(seen, text) +
                     "), in minutes from the first bite?",
                 {}});
            guessed.mapping.timeTexts.push_back({text.text, std::nullopt});
        }
    }
}

void guessOddCells(const std::vector<TableGuess>& parts, GuessedMapping& guessed) {
    std::set<std::string> words;
    std::size_t asked = 0;
    const auto handle = [&](const std::string& file, const SeenText& text) {
        if (!words.insert(text.text).second || isMissing(guessed.mapping, text.text)) {
            return;
        }
        if (isBelowLimitWord(text.text)) {
            guessed.questions.push_back(
                {"limit_texts[" + std::to_string(guessed.mapping.limitTexts.size()) + "].limit",
                 quote(text.text) + " (" + file + ":" + std::to_string(text.row) +
                     ") reads as below the quantification limit: what is the limit, in the unit of the "
                     "column?",
                 {}});
            guessed.mapping.limitTexts.push_back({text.text, {}, std::nullopt});
        } else if (asked++ < mostAsked) {
            guessed.questions.push_back(
                {"missing_words",
                 quote(text.text) + " (" + std::to_string(text.count) + " cells, first " + file + ":" +
                     std::to_string(text.row) +
                     ") is no number: mend it in the file, or add it here if it means a "
                     "missing value.",
                 {}});
        }
    };
    for (std::size_t t = 0; t < parts.size(); ++t) {
        const TableMapping& how = guessed.mapping.tables[t];
        std::set<std::size_t> other;
        for (const ColumnMapping& column : how.columns) {
            if (column.role != ColumnRole::analyte) {
                other.insert(column.column - 1);
            }
        }
        for (std::size_t c = 0; how.use && parts[t].hasValues && c < parts[t].facts.columns.size(); ++c) {
            const bool headed =
                c < parts[t].head.head.headers.size() && !parts[t].head.head.headers[c].empty();
            if (!other.contains(c) && headed) {
                for (const SeenText& text : parts[t].facts.columns[c].odd) {
                    handle(how.file, text);
                }
            }
        }
    }
}

}  // namespace

void guessTexts(const std::vector<TableGuess>& parts, GuessedMapping& guessed) {
    guessDates(parts, guessed);
    guessDilution(parts, guessed);
    guessCodes(parts, guessed);
    guessSkippedRows(parts, guessed);
    guessTimeTexts(parts, guessed);
    guessOddCells(parts, guessed);
}

}  // namespace aftercurve
