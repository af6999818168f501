// The fibre table: one row a determination of fibre or of a part of it.
#include <algorithm>

#include "core/edit/cell_reading.h"
#include "core/files/cell_rules.h"
#include "core/files/delimited.h"
#include "core/files/excerpt.h"
#include "core/files/fibre_csv.h"

namespace aftercurve {

namespace {

enum FibreColumn : std::size_t {
    material,
    method,
    fraction,
    replicate,
    value,
    basis,
    moisture,
    laboratory,
    columnCount
};

std::vector<TableColumn> columns(const Study& /*study*/) {
    return {{"material", "Material", false, true},
            {"method", "Method", false, true},
            {"fraction", "Fraction", false, true},
            {"replicate", "Replicate", true, false},
            {"value", "Value (g/100 g)", true, false},
            {"basis", "Basis", false, false},
            {"moisture_percent", "Moisture (%)", true, false},
            {"laboratory", "Laboratory", false, false}};
}

std::size_t rows(const Study& study) {
    return study.fibre.results.size();
}

std::string text(const Study& study, std::size_t row, std::size_t column) {
    const FibreResult& result = study.fibre.results[row];
    switch (column) {
        case material:
            return result.material;
        case method:
            return result.method;
        case fraction:
            return result.fraction;
        case replicate:
            return std::to_string(result.replicate);
        case value:
            return numberText(result.value);
        case basis:
            return result.dryBasis ? "dry" : "as-is";
        case moisture:
            return numberText(result.moisturePercent);
        default:
            return result.laboratory;
    }
}

Result<std::string> fractionFrom(std::string_view text) {
    const std::string_view word = trimmed(text);
    const auto known = std::find(fibreFractions.begin(), fibreFractions.end(), word);
    if (known != fibreFractions.end()) {
        return std::string{*known};
    }
    return cellProblem("fraction", "the fraction " + quote(word) + " is not known",
                       "use one of " + fibreFractionWords());
}

Result<bool> isDryFrom(std::string_view text) {
    const std::string_view word = trimmed(text);
    if (word.empty() || word == "as-is" || word == "dry") {
        return word == "dry";
    }
    return cellProblem("basis", "the basis " + quote(word) + " is not known", "use as-is or dry");
}

/// Writes one cell into a result.
Result<Done> put(FibreResult& result, std::size_t column, std::string_view words) {
    switch (column) {
        case material:
            return keep(nameFrom(words, "material"), result.material);
        case method:
            return keep(nameFrom(words, "method"), result.method);
        case fraction:
            return keep(fractionFrom(words), result.fraction);
        case replicate:
            return keep(countFrom(words, "replicate", 1), result.replicate);
        case value:
            return keep(amountFrom(words, "value", 0.0, wholePer100g), result.value);
        case basis:
            return keep(isDryFrom(words), result.dryBasis);
        case moisture:
            return keep(amountFrom(words, "moisture_percent", 0.0, 100.0), result.moisturePercent);
        default:
            return keep(fileTextFrom(words, "laboratory", longestText), result.laboratory);
    }
}

/// Fails where another row holds the same determination.
Result<Done> checkOnlyOne(const Study& study, const FibreResult& result, std::optional<std::size_t> row) {
    const auto& all = study.fibre.results;
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (i != row && all[i].material == result.material && all[i].method == result.method &&
            all[i].fraction == result.fraction && all[i].laboratory == result.laboratory &&
            all[i].replicate == result.replicate) {
            return cellProblem("replicate",
                               result.fraction + " of " + quote(result.material) + " by " +
                                   quote(result.method) + ", replicate " + std::to_string(result.replicate) +
                                   " is there twice",
                               "number the determinations");
        }
    }
    return Done{};
}

Result<Done> set(Study& study, const SetCell& cell) {
    FibreResult result = study.fibre.results[cell.row];
    Result<Done> done = put(result, cell.column, cell.text);
    done = done ? checkOnlyOne(study, result, cell.row) : done;
    if (done) {
        study.fibre.results[cell.row] = std::move(result);
    }
    return done;
}

Result<std::size_t> insert(Study& study, const InsertRow& change) {
    std::vector<FibreResult>& results = study.fibre.results;
    if (results.size() >= mostFibreResults) {
        return cellProblem({}, "the study has as many results of fibre as are read", "split the study");
    }
    FibreResult result;
    for (std::size_t column = 0; column < columnCount; ++column) {
        if (const Result<Done> done = put(result, column, change.cells[column]); !done) {
            return done.problem();
        }
    }
    if (const Result<Done> fits = checkOnlyOne(study, result, std::nullopt); !fits) {
        return fits.problem();
    }
    result.row = fittingLine(change.line, change.row, results.size(),
                             [&](std::size_t i) { return static_cast<std::uint32_t>(results[i].row); });
    putInto(results, change.row, std::move(result));
    return change.row;
}

Result<Done> remove(Study& study, const RemoveRow& change) {
    takeOut(study.fibre.results, change.row);
    return Done{};
}

std::string nameOfRow(const Study& study, std::size_t row) {
    const FibreResult& result = study.fibre.results[row];
    return shortened(result.material) + ", " + shortened(result.method) + ", " + result.fraction +
           ", replicate " + std::to_string(result.replicate);
}

std::size_t lineOf(const Study& study, std::size_t row) {
    return study.fibre.results[row].row;
}

}  // namespace

const TableEdits fibreEdits{columns, rows, text, set, insert, remove, nameOfRow, lineOf};

}  // namespace aftercurve
