#include "core/intake/guess_columns.h"

#include "core/base/number_text.h"
#include "core/files/excerpt.h"

namespace aftercurve {

namespace {

class Lister {
  public:
    Lister(const InputTable& table, const std::string& key, const SettledColumns& settled, TableGuess& guess)
        : table_(table), key_(key), settled_(settled), guess_(guess) {}

    void listColumns() {
        if (!guess_.how.use) {
            return;
        }
        for (std::size_t c = 0; c < settled_.readings.size(); ++c) {
            const HeaderReading& reading = settled_.readings[c];
            ColumnMapping column;
            column.column = c + 1;
            column.header = header(c);
            const bool timed = guess_.how.layout == Layout::wideByTime && !reading.role && reading.timeMin;
            if (!reading.role && !timed) {
                if (!header(c).empty() && !guess_.how.othersAreSubjects) {
                    column.role = ColumnRole::ignore;
                    guess_.how.columns.push_back(column);
                    say(key_ + ".columns", nameOfColumn(c) + inTable() + " is left out",
                        "its header is no word that is known", Confidence::unsure);
                }
                continue;
            }
            column.role = timed ? ColumnRole::analyte : *reading.role;
            if (column.role == ColumnRole::analyte && !guess_.hasValues) {
                continue;
            }
            fill(c, reading, column);
            guess_.how.columns.push_back(column);
            if (column.role != ColumnRole::ignore) {
                describe(c, reading, column);
            }
        }
        if (guess_.how.othersAreSubjects) {
            say(key_ + ".other_columns", "the other columns" + inTable() + " are subjects, by their headers",
                "a column of times stands beside them", Confidence::likely);
        }
    }

    /// A subject written once over several rows.
    void findFillDown() {
        const auto c = subjectColumn();
        if (!c || !guess_.how.use || guess_.how.layout != Layout::longRows || guess_.facts.rows == 0) {
            return;
        }
        if (5 * facts(*c).filled < 3 * guess_.facts.rows) {
            guess_.how.fillDown = true;
            say(key_ + ".fill_down", "an empty subject or food" + inTable() + " is that of the row above",
                "the subject stands in " + std::to_string(facts(*c).filled) + " of " +
                    std::to_string(guess_.facts.rows) + " rows only",
                Confidence::unsure);
        }
    }

  private:
    void fill(std::size_t c, const HeaderReading& reading, ColumnMapping& column) const {
        if (column.role == ColumnRole::analyte) {
            column.analyte = reading.analyte;
            column.unit = reading.unit == "min" || reading.unit == "h" ? std::string{} : reading.unit;
            column.timeMin = reading.timeMin;
        } else if (column.role == ColumnRole::time || column.role == ColumnRole::nominalTime) {
            column.unit = reading.unit == "h" ? "h" : "";
        } else if (column.role == ColumnRole::dilution) {
            column.analyte = analyteNamedIn(header(c));
        }
        for (const auto& [at, number] : settled_.replicates) {
            if (at == c) {
                column.replicate = number;
            }
        }
    }

    void describe(std::size_t c, const HeaderReading& reading, const ColumnMapping& column) {
        std::string what = nameOfColumn(c) + inTable() + " is ";
        if (column.role == ColumnRole::analyte) {
            const std::string analyte = column.analyte.empty() ? guess_.how.analyte : column.analyte;
            what += analyte.empty() ? "the values" : analyte;
            what += column.unit.empty() ? "" : " in " + column.unit;
            what += column.timeMin ? " at " + plainNumber(*column.timeMin) + " min" : "";
        } else {
            what += "the " + std::string{wordFor(column.role)};
            what += column.unit == "h" ? " in hours" : "";
        }
        const bool isSentence = reading.word.find(' ') != std::string::npos && reading.word.size() > 30;
        const bool byHeader = reading.word.empty() || !isSentence;
        say(key_ + ".columns[" + std::to_string(guess_.how.columns.size() - 1) + "]", what,
            byHeader
                ? (reading.word.empty() ? "the header is a time" : "the header says " + quote(reading.word))
                : reading.word,
            settled_.unsure.contains(c) ? Confidence::unsure
            : byHeader                  ? Confidence::sure
                                        : Confidence::likely);
    }

    std::optional<std::size_t> subjectColumn() const {
        for (std::size_t c = 0; c < settled_.readings.size(); ++c) {
            if (settled_.readings[c].role == ColumnRole::subject) {
                return c;
            }
        }
        return std::nullopt;
    }
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

    const InputTable& table_;
    const std::string& key_;
    const SettledColumns& settled_;
    TableGuess& guess_;
};

}  // namespace

void listColumns(const InputTable& table, const std::string& key, const SettledColumns& settled,
                 TableGuess& guess) {
    Lister lister{table, key, settled, guess};
    lister.listColumns();
    lister.findFillDown();
}

}  // namespace aftercurve
