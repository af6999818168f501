// The assays table: one row a reading of a digestion in vitro.
#include <algorithm>

#include "core/base/number_text.h"
#include "core/edit/cell_reading.h"
#include "core/files/assays_csv.h"
#include "core/files/cell_rules.h"
#include "core/files/delimited.h"
#include "core/files/excerpt.h"

namespace aftercurve {

namespace {

enum AssaysColumn : std::size_t { sample, run, replicate, timeMin, value, massMg, blank, columnCount };

std::vector<TableColumn> columns(const Study& study) {
    const bool glucose = study.assays.quantity == AssayQuantity::glucoseMg;
    return {{"sample", "Sample", false, false},
            {"run", "Run", false, false},
            {"replicate", "Replicate", true, false},
            {"time_min", "Time (min)", true, true},
            {"value", glucose ? "Glucose (mg)" : "Digested starch (%)", true, false},
            {"sample_mass_mg", "Mass of the sample (mg)", true, false},
            {"blank", "Blank", false, false}};
}

std::size_t rows(const Study& study) {
    return study.assays.readings.size();
}

std::string text(const Study& study, std::size_t row, std::size_t column) {
    const AssayReading& reading = study.assays.readings[row];
    switch (column) {
        case sample:
            return reading.sample;
        case run:
            return reading.run;
        case replicate:
            return std::to_string(reading.replicate);
        case timeMin:
            return plainNumber(reading.timeMin);
        case value:
            return reading.value ? plainNumber(*reading.value) : reading.valueText;
        case massMg:
            return reading.sampleMassMg ? plainNumber(*reading.sampleMassMg) : reading.massText;
        default:
            return yesOrNo(reading.blank);
    }
}

Result<std::string> sampleFrom(const Study& study, std::string_view text) {
    const std::string_view wanted = trimmed(text);
    if (!wanted.empty() && !findAssaySample(study.assays, wanted)) {
        return cellProblem("sample", "there is no sample " + quote(wanted) + " of the assays",
                           "add it to the samples of the assays first, or mend its spelling");
    }
    return std::string{wanted};
}

Result<std::string> runFrom(std::string_view text) {
    Result<std::string> read = fileTextFrom(text, "run", longestName);
    return read && read.value().empty() ? Result<std::string>{firstAssayRun} : read;
}

Result<double> digestedFor(std::string_view text) {
    const std::string_view cell = trimmed(text);
    const auto minutes = minutesIn(cell);
    if (minutes && *minutes >= 0.0) {
        return *minutes;
    }
    return cellProblem("time_min",
                       minutes ? "the time " + quote(cell) + " lies before the begin of the digestion"
                               : "the time: " + faultOfMinutes(cell),
                       "give minutes from the begin of the digestion");
}

/// Value and mass anew: what is wrong with either is said of the reading.
Result<Done> putNumbers(AssayReading& reading, std::string_view valueText, std::string_view massText) {
    for (const auto& [column, words] :
         {std::pair{"value", valueText}, std::pair{"sample_mass_mg", massText}}) {
        if (std::string fault = faultOfText(words, longestText); !fault.empty()) {
            return cellProblem(column, std::string{column} + ": " + fault,
                               "enter a number, or NA where there is none");
        }
    }
    putAssayNumbers(reading, trimmed(valueText), trimmed(massText));
    return Done{};
}

/// Writes one cell into a reading.
Result<Done> put(const Study& study, AssayReading& reading, std::size_t column, std::string_view words) {
    switch (column) {
        case sample:
            return keep(sampleFrom(study, words), reading.sample);
        case run:
            return keep(runFrom(words), reading.run);
        case replicate:
            return keep(countFrom(words, "replicate", 1), reading.replicate);
        case timeMin:
            return keep(digestedFor(words), reading.timeMin);
        case value:
            return putNumbers(reading, words,
                              reading.sampleMassMg ? plainNumber(*reading.sampleMassMg) : reading.massText);
        case massMg:
            return putNumbers(reading, reading.value ? plainNumber(*reading.value) : reading.valueText,
                              words);
        default:
            return keep(yesOrNoFrom(words, "blank", false), reading.blank);
    }
}

/// Fails where a reading has no sample and is no blank, and where another row holds the same moment.
Result<Done> checked(const Study& study, const AssayReading& reading, std::optional<std::size_t> row) {
    if (reading.sample.empty() && !reading.blank) {
        return cellProblem("sample", "the sample is empty", "name the sample, or mark the row as a blank");
    }
    const auto& all = study.assays.readings;
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (i != row && all[i].timeMin == reading.timeMin && all[i].replicate == reading.replicate &&
            all[i].sample == reading.sample && all[i].run == reading.run) {
            return cellProblem("time_min",
                               "run " + quote(reading.run) + ", replicate " +
                                   std::to_string(reading.replicate) + ", " + plainNumber(reading.timeMin) +
                                   " min is there twice",
                               "keep one row, or number the replicates");
        }
    }
    return Done{};
}

Result<Done> set(Study& study, const SetCell& cell) {
    AssayReading reading = study.assays.readings[cell.row];
    Result<Done> done = put(study, reading, cell.column, cell.text);
    done = done ? checked(study, reading, cell.row) : done;
    if (done) {
        study.assays.readings[cell.row] = std::move(reading);
    }
    return done;
}

Result<std::size_t> insert(Study& study, const InsertRow& change) {
    std::vector<AssayReading>& readings = study.assays.readings;
    if (readings.size() >= mostAssayReadings) {
        return cellProblem({}, "the assays have as many readings as are read", "split the assays");
    }
    AssayReading reading;
    for (std::size_t column = 0; column < columnCount; ++column) {
        if (const Result<Done> done = put(study, reading, column, change.cells[column]); !done) {
            return done.problem();
        }
    }
    if (const Result<Done> fits = checked(study, reading, std::nullopt); !fits) {
        return fits.problem();
    }
    reading.row = fittingLine(change.line, change.row, readings.size(),
                              [&](std::size_t i) { return static_cast<std::uint32_t>(readings[i].row); });
    putInto(readings, change.row, std::move(reading));
    return change.row;
}

Result<Done> remove(Study& study, const RemoveRow& change) {
    takeOut(study.assays.readings, change.row);
    return Done{};
}

std::string nameOfRow(const Study& study, std::size_t row) {
    const AssayReading& reading = study.assays.readings[row];
    const std::string who =
        reading.sample.empty() ? std::string{"blank"} : "sample " + shortened(reading.sample);
    return who + ", run " + shortened(reading.run) + ", replicate " + std::to_string(reading.replicate) +
           ", " + plainNumber(reading.timeMin) + " min";
}

std::size_t lineOf(const Study& study, std::size_t row) {
    return study.assays.readings[row].row;
}

}  // namespace

const TableEdits assaysEdits{columns, rows, text, set, insert, remove, nameOfRow, lineOf};

}  // namespace aftercurve
