#include "core/files/assays_csv.h"

#include <algorithm>
#include <array>
#include <set>
#include <tuple>

#include "core/base/number_text.h"
#include "core/files/cell_rules.h"
#include "core/files/csv_cell.h"
#include "core/files/csv_rows.h"
#include "core/files/excerpt.h"
#include "core/files/id_index.h"
#include "core/files/number_cell.h"
#include "core/files/text_check.h"

namespace aftercurve {

namespace {

constexpr std::size_t longestRun = 100;

struct AssayColumns {
    std::optional<std::size_t> sample;
    std::optional<std::size_t> run;
    std::optional<std::size_t> replicate;
    std::optional<std::size_t> timeMin;
    std::optional<std::size_t> value;
    std::optional<std::size_t> massMg;
    std::optional<std::size_t> blank;
};

/// Why a value or a mass cannot be used; empty where it can, or is missing.
std::string faultOfValue(std::string_view text) {
    const NumberKind kind = readNumber(text).kind;
    const bool usable = kind == NumberKind::value || kind == NumberKind::missing;
    return usable ? std::string{} : "the value " + faultOf(kind, text);
}

std::string faultOfMass(std::string_view text) {
    const NumberCell number = readNumber(text);
    if (number.kind == NumberKind::missing || (number.kind == NumberKind::value && number.value > 0.0)) {
        return {};
    }
    return "the mass " +
           (number.kind == NumberKind::value ? quote(text) + " is not above 0" : faultOf(number.kind, text));
}

class AssaysReading {
  public:
    AssaysReading(std::string_view file, const ReadLimits& limits, Study& study, ProblemList& problems)
        : file_(file), limits_(limits), assays_(study.assays), problems_(problems) {
        limits_.rows = std::min(limits_.rows, mostAssayReadings);
        for (std::size_t i = 0; i < assays_.samples.size(); ++i) {
            samples_.add(assays_.samples[i].id, static_cast<std::uint32_t>(i));
        }
    }

    void read(std::string_view text) {
        readCsvRows(
            text, file_, limits_, problems_, [this](const CsvHeader& header) { return findColumns(header); },
            [this] { return assays_.readings.size(); },
            [this](const DelimitedScanner& row) { readRow(row); });
    }

  private:
    bool findColumns(const CsvHeader& header) {
        const std::array named{
            NamedColumn{"sample", &columns_.sample, true}, NamedColumn{"run", &columns_.run},
            NamedColumn{"replicate", &columns_.replicate}, NamedColumn{"time_min", &columns_.timeMin, true},
            NamedColumn{"value", &columns_.value, true},   NamedColumn{"sample_mass_mg", &columns_.massMg},
            NamedColumn{"blank", &columns_.blank}};
        return findNamedColumns(header, named, file_, problems_);
    }

    /// `where` names the sample, run, replicate and time as far as they are known.
    void report(Weight weight, const DelimitedScanner& scanner, const char* column, const std::string& fault,
                const std::string& remedy) {
        problems_.add(weight, [&] {
            const std::string_view sample = textIn(cellIn(scanner, columns_.sample));
            const std::string who = sample.empty() ? "" : "sample " + quote(sample) + ": ";
            Problem problem = problemAt(file_, scanner.row(), column, who + fault, remedy);
            problem.timeMin = minutesIn(cellIn(scanner, columns_.timeMin));
            return problem;
        });
    }

    void readRow(const DelimitedScanner& scanner) {
        AssayReading reading;
        reading.row = scanner.row();
        if (!readBlank(scanner, reading) || !readSample(scanner, reading) || !readRun(scanner, reading) ||
            !readReplicate(scanner, reading) || !readTime(scanner, reading)) {
            return;
        }
        if (!seen_.insert({reading.sample, reading.run, reading.replicate, reading.timeMin}).second) {
            report(Weight::fatal, scanner, "time_min",
                   "run " + quote(reading.run) + ", replicate " + std::to_string(reading.replicate) + ", " +
                       plainNumber(reading.timeMin) + " min is there twice",
                   "keep one row, or number the replicates");
            return;
        }
        readNumbers(scanner, reading);
        assays_.readings.push_back(std::move(reading));
    }

    bool readBlank(const DelimitedScanner& scanner, AssayReading& reading) {
        const std::string_view text = cellIn(scanner, columns_.blank);
        const bool yes = text == "yes" || text == "true" || text == "1";
        if (!yes && !text.empty() && text != "no" && text != "false" && text != "0") {
            report(Weight::fatal, scanner, "blank", "blank is " + quote(text), "write yes or no");
            return false;
        }
        reading.blank = yes;
        return true;
    }

    bool readSample(const DelimitedScanner& scanner, AssayReading& reading) {
        const std::string_view text = textIn(cellIn(scanner, columns_.sample));
        if (text.empty()) {
            if (!reading.blank) {
                report(Weight::fatal, scanner, "sample", "the sample is empty",
                       "name the sample, or mark the row as a blank");
            }
            return reading.blank;
        }
        if (!samples_.find(text)) {
            report(Weight::fatal, scanner, "sample", "it is not declared",
                   "add it to the samples of \"assays\" in study.json, or mend its spelling");
            return false;
        }
        reading.sample = std::string{text};
        return true;
    }

    bool readRun(const DelimitedScanner& scanner, AssayReading& reading) {
        const std::string_view text = textIn(cellIn(scanner, columns_.run));
        if (text.size() > longestRun || hasControlCharacters(text)) {
            report(Weight::fatal, scanner, "run",
                   "the run " + quote(text) + " is longer than 100 bytes or holds control characters",
                   "give each run a short code");
            return false;
        }
        reading.run = text.empty() ? firstAssayRun : std::string{text};
        return true;
    }

    bool readReplicate(const DelimitedScanner& scanner, AssayReading& reading) {
        const std::string_view text = cellIn(scanner, columns_.replicate);
        if (text.empty()) {
            return true;
        }
        const auto count = countIn(text);
        if (!count) {
            report(Weight::fatal, scanner, "replicate",
                   "the replicate " + quote(text) + " is not a whole number from 1 to 1000000",
                   "number them 1, 2, 3, ...");
            return false;
        }
        reading.replicate = *count;
        return true;
    }

    bool readTime(const DelimitedScanner& scanner, AssayReading& reading) {
        const std::string_view text = cellIn(scanner, columns_.timeMin);
        const auto minutes = minutesIn(text);
        if (!minutes || *minutes < 0.0) {
            report(Weight::fatal, scanner, "time_min",
                   minutes ? "the time " + quote(text) + " lies before the begin of the digestion"
                           : "the time: " + faultOfMinutes(text),
                   "give minutes from the begin of the digestion");
            return false;
        }
        reading.timeMin = *minutes;
        return true;
    }

    void readNumbers(const DelimitedScanner& scanner, AssayReading& reading) {
        const std::string_view value = numberColumnText(cellIn(scanner, columns_.value));
        const std::string_view mass = numberColumnText(cellIn(scanner, columns_.massMg));
        if (std::string fault = faultOfValue(value); !fault.empty()) {
            report(Weight::error, scanner, "value", fault + "; the reading cannot be used",
                   remedyFor(readNumber(value).kind));
        }
        if (std::string fault = faultOfMass(mass); !fault.empty()) {
            const NumberKind kind = readNumber(mass).kind;
            report(Weight::error, scanner, "sample_mass_mg", fault + "; the reading cannot be used",
                   kind == NumberKind::value ? "give the mg that were weighed in" : remedyFor(kind));
        }
        putAssayNumbers(reading, value, mass);
    }

    std::string_view file_;
    ReadLimits limits_;
    AssayData& assays_;
    ProblemList& problems_;
    AssayColumns columns_;
    IdIndex samples_;
    std::set<std::tuple<std::string, std::string, int, double>> seen_;
};

std::string numberOr(const std::optional<double>& number, const std::string& flawed) {
    return number ? plainNumber(*number) : numberColumnCell(flawed);
}

}  // namespace

void readAssaysCsv(std::string_view bytes, std::string_view file, const ReadLimits& limits, Study& study,
                   ProblemList& problems) {
    const Result<std::string_view> text = checkedText(bytes, file);
    if (!text) {
        problems.add(Weight::fatal, text.problem());
        return;
    }
    AssaysReading{file, limits, study, problems}.read(text.value());
}

void putAssayNumbers(AssayReading& reading, std::string_view value, std::string_view mass) {
    const auto put = [&reading](std::string_view text, std::string fault, std::optional<double>& number,
                                std::string& kept) {
        const NumberCell cell = readNumber(text);
        const bool usable = fault.empty() && cell.kind == NumberKind::value;
        number = usable ? std::optional{cell.value} : std::nullopt;
        kept = fault.empty() ? std::string{} : flawTextFrom(text);
        if (!fault.empty()) {
            reading.flaw = std::move(fault);
        }
    };
    reading.flaw.clear();
    put(value, faultOfValue(value), reading.value, reading.valueText);
    put(mass, faultOfMass(mass), reading.sampleMassMg, reading.massText);
}

std::string assaysCsv(const AssayData& assays) {
    std::string text = "sample,run,replicate,time_min,value,sample_mass_mg,blank\n";
    for (const AssayReading& reading : assays.readings) {
        text +=
            textCell(reading.sample) + "," + textCell(reading.run) + "," + std::to_string(reading.replicate) +
            "," + plainNumber(reading.timeMin) + "," + numberOr(reading.value, reading.valueText) + "," +
            numberOr(reading.sampleMassMg, reading.massText) + "," + (reading.blank ? "yes" : "no") + "\n";
    }
    return text;
}

}  // namespace aftercurve
