#include "core/intake/guess_table.h"

#include <algorithm>
#include <set>

#include "core/files/excerpt.h"
#include "core/files/privacy_columns.h"
#include "core/intake/fold_text.h"
#include "core/intake/guess_columns.h"
#include "core/intake/time_text.h"

namespace aftercurve {

namespace {

constexpr std::size_t headRows = 60;
constexpr std::size_t fewFoods = 40;

/// Works out one table, step by step; each step may change the readings of the headers.
class Guesser {
  public:
    Guesser(const InputTable& table, std::string key, TableGuess& guess)
        : table_(table), key_(std::move(key)), guess_(guess), readings_(guess.head.columns) {
        const std::size_t width = std::max(readings_.size(), guess.facts.columns.size());
        readings_.resize(width);
        guess_.facts.columns.resize(width);
        guess_.head.head.headers.resize(width);
    }

    void run() {
        dropPersonalAndComputed();
        settleTimes();
        dropSecondOnes();
        chooseLayout();
        nameUnknownColumns();
        nameAnalyte();
        listColumns(table_, key_, {readings_, replicates_, unsure_}, guess_);
    }

  private:
    const ColumnFacts& facts(std::size_t c) const { return guess_.facts.columns[c]; }
    const std::string& header(std::size_t c) const { return guess_.head.head.headers[c]; }
    std::string nameOfColumn(std::size_t c) const {
        ColumnMapping column;
        column.column = c + 1;
        column.header = header(c);
        return nameOf(column);
    }
    std::string inTable() const { return " of " + nameOf(table_); }

    void say(const std::string& key, std::string what, std::string why, Confidence confidence) {
        guess_.items.push_back({key, std::move(what), std::move(why), confidence});
    }

    std::optional<std::size_t> columnOf(ColumnRole role) const {
        for (std::size_t c = 0; c < readings_.size(); ++c) {
            if (readings_[c].role == role) {
                return c;
            }
        }
        return std::nullopt;
    }
    bool has(ColumnRole role) const { return columnOf(role).has_value(); }
    bool hasTimeColumn() const {
        return has(ColumnRole::time) || has(ColumnRole::nominalTime) || has(ColumnRole::clockTime);
    }
    bool isNumeric(std::size_t c) const {
        return facts(c).numbers > 0 && 2 * facts(c).numbers >= facts(c).filled;
    }

    void ignore(std::size_t c, const std::string& why, Confidence confidence) {
        readings_[c] = {};
        readings_[c].role = ColumnRole::ignore;
        say(key_ + ".columns", nameOfColumn(c) + inTable() + " is left out", why, confidence);
    }

    void dropPersonalAndComputed() {
        for (std::size_t c = 0; c < readings_.size(); ++c) {
            if (looksPersonal(header(c))) {
                ignore(c, "its name looks as if it identified people", Confidence::sure);
            } else if (readings_[c].statistic && !header(c).empty()) {
                ignore(c, "its name is that of a computed figure", Confidence::likely);
            }
        }
    }

    /// Time columns by what they hold: times of day, minutes; minutes beside times of day are nominal.
    void settleTimes() {
        for (std::size_t c = 0; c < readings_.size(); ++c) {
            if (readings_[c].role == ColumnRole::time && facts(c).clocks > 0 &&
                2 * facts(c).clocks > facts(c).filled && facts(c).times < facts(c).clocks) {
                readings_[c].role = ColumnRole::clockTime;
                readings_[c].unit.clear();
                readings_[c].word = "its values are times of day";
            } else if (readings_[c].role == ColumnRole::clockTime && facts(c).clocks == 0 &&
                       facts(c).times > 0) {
                readings_[c].role = ColumnRole::time;
                readings_[c].word = "its values are numbers, not times of day";
            }
        }
        const bool actualBeside = has(ColumnRole::clockTime);
        if (actualBeside && !has(ColumnRole::nominalTime)) {
            if (const auto c = columnOf(ColumnRole::time)) {
                readings_[*c].role = ColumnRole::nominalTime;
                readings_[*c].word = "times of day stand beside it, so its minutes are those of the protocol";
            }
        }
        if (!hasTimeColumn() && !readings_.empty() && !readings_[0].role && !readings_[0].timeMin &&
            header(0).empty() && looksLikeTimes(facts(0))) {
            readings_[0].role = ColumnRole::time;
            readings_[0].word = "its values are times that begin at or before 0";
        }
    }

    static bool looksLikeTimes(const ColumnFacts& facts) {
        if (facts.filled < 2 || facts.times < facts.filled) {
            return false;
        }
        return std::any_of(facts.texts.begin(), facts.texts.end(), [](const SeenText& seen) {
            const auto time = minutesFrom(seen.text);
            return time && *time <= 0.0;
        });
    }

    /// Every role but analyte has one column.
    void dropSecondOnes() {
        std::set<ColumnRole> seen;
        for (std::size_t c = 0; c < readings_.size(); ++c) {
            const auto role = readings_[c].role;
            if (!role || *role == ColumnRole::analyte || *role == ColumnRole::ignore ||
                *role == ColumnRole::dilution) {
                continue;
            }
            if (!seen.insert(*role).second) {
                ignore(c, "another column is the " + std::string{wordFor(*role)} + " already",
                       Confidence::unsure);
            }
        }
    }

    std::size_t timedColumns() const {
        return static_cast<std::size_t>(std::count_if(
            readings_.begin(), readings_.end(),
            [](const HeaderReading& r) { return r.timeMin && (!r.role || *r.role == ColumnRole::analyte); }));
    }

    void chooseLayout() {
        std::vector<std::size_t> unnamedNumbers;
        for (std::size_t c = 0; c < readings_.size(); ++c) {
            if (!readings_[c].role && isNumeric(c) && !header(c).empty()) {
                unnamedNumbers.push_back(c);
            }
        }
        TableMapping& how = guess_.how;
        std::string why;
        Confidence confidence = Confidence::sure;
        if (!hasTimeColumn() && timedColumns() >= 2) {
            how.layout = Layout::wideByTime;
            why = std::to_string(timedColumns()) + " columns have a time in their header";
            settleHyphens();
        } else if (hasTimeColumn() && has(ColumnRole::analyte)) {
            how.layout = Layout::longRows;
            why = "there is a column of times and a column of values";
            settleReplicates();
        } else if (hasTimeColumn() && !has(ColumnRole::subject) && !unnamedNumbers.empty()) {
            how.layout = Layout::wideBySubject;
            how.othersAreSubjects = true;
            why = "there is a column of times, and the headers of the others are no words of the trade";
            confidence = Confidence::likely;
        } else if (hasTimeColumn() && unnamedNumbers.size() == 1) {
            how.layout = Layout::longRows;
            readings_[unnamedNumbers[0]].role = ColumnRole::analyte;
            readings_[unnamedNumbers[0]].word = "it is the only column of numbers without a known header";
            why = "there is a column of times and one column of numbers";
            confidence = Confidence::unsure;
        } else if (has(ColumnRole::subject) &&
                   (has(ColumnRole::sex) || has(ColumnRole::age) || has(ColumnRole::bmi) ||
                    has(ColumnRole::sequence)) &&
                   !has(ColumnRole::food)) {
            how.layout = Layout::subjects;
            why = "it has subjects and what is known of them, and no values";
        } else if (has(ColumnRole::subject) && (has(ColumnRole::date) || has(ColumnRole::mealStart) ||
                                                has(ColumnRole::period) || has(ColumnRole::remark))) {
            how.layout = Layout::visits;
            why = "it has subjects and what is known of their visits, and no values";
        } else {
            how.use = false;
            say(key_ + ".use", nameOf(table_) + " is not used",
                "no header row with times and values could be told in it", Confidence::unsure);
            return;
        }
        guess_.hasValues = how.layout != Layout::subjects && how.layout != Layout::visits;
        say(key_ + ".layout", nameOf(table_) + " is laid out " + std::string{wordFor(how.layout)}, why,
            confidence);
    }

    /// "glucose-15" beside "glucose-0": a dash, not a minus, unless some time is positive.
    void settleHyphens() {
        const bool dash = std::all_of(readings_.begin(), readings_.end(), [](const HeaderReading& r) {
            return !r.timeMin || r.hyphen || (r.role == ColumnRole::analyte && *r.timeMin == 0.0);
        });
        const auto hyphens = std::count_if(readings_.begin(), readings_.end(),
                                           [](const HeaderReading& r) { return r.timeMin && r.hyphen; });
        if (!dash || hyphens < 2) {
            return;
        }
        for (HeaderReading& reading : readings_) {
            if (reading.timeMin && *reading.timeMin < 0.0) {
                reading.timeMin = -*reading.timeMin;
            }
        }
        say(key_ + ".columns", "the hyphens in the headers" + inTable() + " are dashes, not minus signs",
            "every time would be negative otherwise", Confidence::unsure);
    }

    /// Long rows: "glucose 1", "glucose 2" are assay duplicates, not times.
    void settleReplicates() {
        for (std::size_t c = 0; c < readings_.size(); ++c) {
            HeaderReading& reading = readings_[c];
            if (reading.role != ColumnRole::analyte || !reading.timeMin) {
                continue;
            }
            const double number = *reading.timeMin;
            if (number >= 1.0 && number <= 9.0 && number == static_cast<int>(number)) {
                replicates_.emplace_back(c, static_cast<int>(number));
                say(key_ + ".columns",
                    nameOfColumn(c) + inTable() + " is assay replicate " +
                        std::to_string(static_cast<int>(number)) + " of " + reading.analyte,
                    "a number stands behind the analyte though the time has a column of its own",
                    Confidence::unsure);
            }
            reading.timeMin.reset();
        }
    }

    bool isFree(std::size_t c) const {
        return !readings_[c].role && !readings_[c].timeMin && facts(c).filled > 0 &&
               !(guess_.how.layout == Layout::wideBySubject && isNumeric(c));
    }

    /// A subject or food column whose header is no known word.
    void nameUnknownColumns() {
        if (!guess_.how.use) {
            return;
        }
        if (guess_.how.layout != Layout::wideBySubject && !has(ColumnRole::subject)) {
            for (std::size_t c = 0; c < readings_.size(); ++c) {
                if (isFree(c) && !facts(c).manyTexts && 2 * facts(c).dates <= facts(c).filled) {
                    readings_[c].role = ColumnRole::subject;
                    readings_[c].word =
                        "no header names the subject, and this is the first column without a role";
                    unsure_.insert(c);
                    break;
                }
            }
            guess_.subjectOpen = !has(ColumnRole::subject);
        }
        if (guess_.how.layout == Layout::subjects || has(ColumnRole::food)) {
            return;
        }
        for (std::size_t c = 0; c < readings_.size() && guess_.hasValues; ++c) {
            if (isFree(c) && !isNumeric(c) && facts(c).dates == 0 && facts(c).texts.size() <= fewFoods &&
                facts(c).texts.size() < facts(c).filled) {
                readings_[c].role = ColumnRole::food;
                readings_[c].word = "no header names the food, and this column repeats a few texts";
                unsure_.insert(c);
                return;
            }
        }
        guess_.foodOpen = true;
    }

    bool needsAnalyteName() const {
        if (guess_.how.layout == Layout::wideBySubject) {
            return true;
        }
        return std::any_of(readings_.begin(), readings_.end(), [this](const HeaderReading& r) {
            const bool timed = guess_.how.layout == Layout::wideByTime && !r.role && r.timeMin;
            return timed || (r.role == ColumnRole::analyte && r.analyte.empty());
        });
    }

    /// The analyte of values whose header names none: by sheet, file or title.
    void nameAnalyte() {
        if (!guess_.hasValues) {
            return;
        }
        struct Place {
            std::string text;
            const char* name;
        };
        std::vector<Place> places{{table_.sheet, "the sheet's name"},
                                  {originText(table_, Origin::file), "the file's name"}};
        for (const std::string& title : guess_.head.titles) {
            places.push_back({title, "a title above the header"});
        }
        for (const Place& place : places) {
            if (guess_.titleUnit.empty()) {
                guess_.titleUnit = unitNamedIn(place.text);
            }
        }
        if (!needsAnalyteName()) {
            return;
        }
        for (const Place& place : places) {
            const std::string analyte = analyteNamedIn(place.text);
            if (!analyte.empty()) {
                guess_.how.analyte = analyte;
                say(key_ + ".analyte", "the values" + inTable() + " are " + analyte,
                    std::string{place.name} + " " + quote(place.text) + " says so", Confidence::likely);
                return;
            }
        }
        guess_.analyteOpen = true;
    }

    const InputTable& table_;
    std::string key_;
    TableGuess& guess_;
    std::vector<HeaderReading> readings_;
    std::vector<std::pair<std::size_t, int>> replicates_;
    std::set<std::size_t> unsure_;
};

}  // namespace

Result<TableGuess> guessTable(const InputTable& table, const std::string& key,
                              const std::vector<std::string>& missingWords) {
    TableGuess guess;
    guess.how.source = table.source;
    guess.how.file = table.file;
    guess.how.sheet = table.sheet;
    guess.how.dialect = table.dialect;
    const auto sample = sampleHead(table, table.dialect, headRows);
    if (!sample) {
        return sample.problem();
    }
    guess.head = guessHead(sample.value());
    guess.how.headerRow = guess.head.headerRow;
    guess.how.headerRows = guess.head.headerRows;
    guess.how.firstRow = guess.head.firstRow;
    auto facts = gatherFacts(table, table.dialect, guess.how.firstRow, guess.head.head, missingWords);
    if (!facts) {
        return facts.problem();
    }
    guess.facts = std::move(facts).value();
    if (guess.head.headerRow == 0) {
        guess.how.use = false;
        guess.items.push_back({key + ".use", nameOf(table) + " is not used",
                               "no row of headers could be told in it", Confidence::unsure});
        return guess;
    }
    std::string rows = "row " + std::to_string(guess.how.headerRow);
    if (guess.how.headerRows == 2) {
        rows += " and the row above it";
    }
    guess.items.push_back({key + ".header_row", "the header of " + nameOf(table) + " is " + rows,
                           "it holds the most words and times that are known", Confidence::sure});
    if (table.hidden) {
        guess.how.use = false;
        guess.items.push_back(
            {key + ".use", nameOf(table) + " is not used", "the workbook hides it", Confidence::unsure});
        return guess;
    }
    Guesser{table, key, guess}.run();
    return guess;
}

}  // namespace aftercurve
