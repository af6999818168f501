#include "core/files/fibre_csv.h"

#include <algorithm>
#include <array>
#include <optional>
#include <set>
#include <tuple>

#include "core/base/number_text.h"
#include "core/files/cell_rules.h"
#include "core/files/csv_cell.h"
#include "core/files/csv_rows.h"
#include "core/files/excerpt.h"
#include "core/files/number_cell.h"
#include "core/files/text_check.h"

namespace aftercurve {

namespace {

constexpr std::size_t longestName = 100;

struct FibreColumns {
    std::optional<std::size_t> material;
    std::optional<std::size_t> method;
    std::optional<std::size_t> fraction;
    std::optional<std::size_t> replicate;
    std::optional<std::size_t> value;
    std::optional<std::size_t> basis;
    std::optional<std::size_t> moisture;
    std::optional<std::size_t> laboratory;
};

class FibreReading {
  public:
    FibreReading(std::string_view file, const ReadLimits& limits, Study& study, ProblemList& problems)
        : file_(file), limits_(limits), results_(study.fibre.results), problems_(problems) {}

    void read(std::string_view text) {
        readCsvRows(
            text, file_, limits_, problems_, [this](const CsvHeader& header) { return findColumns(header); },
            [this] { return results_.size(); }, [this](const DelimitedScanner& row) { readRow(row); });
    }

  private:
    bool findColumns(const CsvHeader& header) {
        const std::array named{NamedColumn{"material", &columns_.material, true},
                               NamedColumn{"method", &columns_.method, true},
                               NamedColumn{"fraction", &columns_.fraction, true},
                               NamedColumn{"replicate", &columns_.replicate},
                               NamedColumn{"value", &columns_.value, true},
                               NamedColumn{"basis", &columns_.basis},
                               NamedColumn{"moisture_percent", &columns_.moisture},
                               NamedColumn{"laboratory", &columns_.laboratory}};
        return findNamedColumns(header, named, file_, problems_);
    }

    void report(Weight weight, const DelimitedScanner& scanner, const char* column, const std::string& fault,
                const std::string& remedy) {
        problems_.add(weight, [&] { return problemAt(file_, scanner.row(), column, fault, remedy); });
    }

    /// Fatal where it cannot be a name.
    std::optional<std::string> nameIn(const DelimitedScanner& scanner, std::optional<std::size_t> column,
                                      const char* name) {
        const std::string_view text = textIn(cellIn(scanner, column));
        const char* fault = text.empty()                 ? " is empty"
                            : text.size() > longestName  ? " is longer than 100 bytes"
                            : hasControlCharacters(text) ? " holds control characters"
                                                         : nullptr;
        if (fault != nullptr) {
            report(Weight::fatal, scanner, name, "the " + std::string{name} + fault, "name it in the row");
            return std::nullopt;
        }
        return std::string{text};
    }

    bool readFraction(const DelimitedScanner& scanner, FibreResult& result) {
        const std::string_view text = cellIn(scanner, columns_.fraction);
        const auto known = std::find(fibreFractions.begin(), fibreFractions.end(), text);
        if (known == fibreFractions.end()) {
            report(Weight::fatal, scanner, "fraction", "the fraction " + quote(text) + " is not known",
                   "use one of " + fibreFractionWords());
            return false;
        }
        result.fraction = std::string{*known};
        return true;
    }

    bool readBasis(const DelimitedScanner& scanner, FibreResult& result) {
        const std::string_view text = cellIn(scanner, columns_.basis);
        if (!text.empty() && text != "as-is" && text != "dry") {
            report(Weight::fatal, scanner, "basis", "the basis " + quote(text) + " is not known",
                   "use as-is or dry");
            return false;
        }
        result.dryBasis = text == "dry";
        return true;
    }

    bool readReplicate(const DelimitedScanner& scanner, FibreResult& result) {
        const std::string_view text = cellIn(scanner, columns_.replicate);
        if (readNumber(text).kind == NumberKind::missing) {
            return true;
        }
        const auto count = countIn(text);
        if (!count) {
            report(Weight::fatal, scanner, "replicate",
                   "the replicate " + quote(text) + " is not a whole number from 1 to 1000000",
                   "number them 1, 2, 3, ...");
            return false;
        }
        result.replicate = *count;
        return true;
    }

    std::optional<double> valueIn(const DelimitedScanner& scanner) {
        const std::string_view text = cellIn(scanner, columns_.value);
        const NumberCell number = readNumber(text);
        if (number.kind == NumberKind::missing) {
            return std::nullopt;
        }
        if (number.kind == NumberKind::belowLimit) {
            report(Weight::warning, scanner, "value",
                   quote(text) + " is below the limit of quantification; no number stands for it",
                   "treat it as not determined");
            return std::nullopt;
        }
        if (number.kind != NumberKind::value) {
            report(Weight::error, scanner, "value", faultOf(number.kind, numberColumnText(text)),
                   remedyFor(number.kind));
            return std::nullopt;
        }
        if (number.value < 0.0 || number.value > wholePer100g) {
            report(Weight::error, scanner, "value", quote(text) + " is not from 0 to 100 g in 100 g",
                   "check the value, or enter NA");
            return std::nullopt;
        }
        return number.value;
    }

    std::optional<double> moistureIn(const DelimitedScanner& scanner) {
        const std::string_view text = cellIn(scanner, columns_.moisture);
        const NumberCell number = readNumber(text);
        if (number.kind == NumberKind::missing) {
            return std::nullopt;
        }
        if (number.kind != NumberKind::value || number.value < 0.0 || number.value > 100.0) {
            report(Weight::warning, scanner, "moisture_percent",
                   "the moisture " + quote(text) + " is not a number from 0 to 100 %; it is left out",
                   "mend it");
            return std::nullopt;
        }
        return number.value;
    }

    void readRow(const DelimitedScanner& scanner) {
        FibreResult result;
        result.row = scanner.row();
        auto material = nameIn(scanner, columns_.material, "material");
        auto method = nameIn(scanner, columns_.method, "method");
        if (!material || !method || !readFraction(scanner, result) || !readBasis(scanner, result) ||
            !readReplicate(scanner, result)) {
            return;
        }
        result.material = std::move(*material);
        result.method = std::move(*method);
        FreeText laboratory = freeTextIn(cellIn(scanner, columns_.laboratory));
        result.laboratory = std::move(laboratory.text);
        result.value = valueIn(scanner);
        result.moisturePercent = moistureIn(scanner);
        const bool isNew = seen_
                               .insert({result.material, result.method, result.fraction, result.laboratory,
                                        result.replicate})
                               .second;
        if (!isNew) {
            report(Weight::fatal, scanner, "replicate",
                   result.fraction + " of " + quote(result.material) + " by " + quote(result.method) +
                       ", replicate " + std::to_string(result.replicate) + " is there twice",
                   "number the determinations");
            return;
        }
        results_.push_back(std::move(result));
    }

    std::string_view file_;
    const ReadLimits& limits_;
    std::vector<FibreResult>& results_;
    ProblemList& problems_;
    FibreColumns columns_;
    std::set<std::tuple<std::string, std::string, std::string, std::string, int>> seen_;
};

std::string numberOrEmpty(const std::optional<double>& value) {
    return value ? plainNumber(*value) : std::string{};
}

}  // namespace

std::string fibreFractionWords() {
    std::string words;
    for (const std::string_view word : fibreFractions) {
        words += (words.empty() ? "" : ", ") + std::string{word};
    }
    return words;
}

void readFibreCsv(std::string_view bytes, std::string_view file, const ReadLimits& limits, Study& study,
                  ProblemList& problems) {
    const Result<std::string_view> text = checkedText(bytes, file);
    if (!text) {
        problems.add(Weight::fatal, text.problem());
        return;
    }
    ReadLimits few = limits;
    few.rows = std::min(limits.rows, mostFibreResults);
    FibreReading{file, few, study, problems}.read(text.value());
}

std::string fibreCsv(const Study& study) {
    std::string text = "material,method,fraction,replicate,value,basis,moisture_percent,laboratory\n";
    for (const FibreResult& result : study.fibre.results) {
        text += textCell(result.material) + "," + textCell(result.method) + "," + textCell(result.fraction) +
                "," + std::to_string(result.replicate) + "," + numberOrEmpty(result.value) + "," +
                (result.dryBasis ? "dry" : "as-is") + "," + numberOrEmpty(result.moisturePercent) + "," +
                textCell(result.laboratory) + "\n";
    }
    return text;
}

}  // namespace aftercurve
