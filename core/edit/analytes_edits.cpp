// The analytes table, which stands in study.json; each analyte is a column of the samples.
#include <algorithm>
#include <array>

#include "core/edit/draw_facts.h"
#include "core/edit/table_edits.h"
#include "core/files/cell_rules.h"
#include "core/files/delimited.h"
#include "core/files/excerpt.h"
#include "core/files/study_folder.h"
#include "core/study/units.h"

namespace aftercurve {

namespace {

constexpr std::size_t longestId = 100;

enum AnalytesColumn : std::size_t { id, unit, specimen };

std::vector<TableColumn> columns(const Study& /*study*/) {
    return {
        {"id", "Id", false, true}, {"unit", "Unit", false, false}, {"specimen", "Specimen", false, false}};
}

std::size_t rows(const Study& study) {
    return study.analytes.size();
}

std::string text(const Study& study, std::size_t row, std::size_t column) {
    const Analyte& analyte = study.analytes[row];
    return column == id ? analyte.id : column == unit ? analyte.unit : analyte.specimen;
}

/// Names of columns of the samples files, which no analyte may take.
bool isSamplesColumn(std::string_view name) {
    constexpr std::array<std::string_view, 8> names{"subject",  "food",        "visit",     "period",
                                                    "time_min", "nominal_min", "replicate", "remark"};
    return std::find(names.begin(), names.end(), name) != names.end();
}

Result<std::string> idFrom(const Study& study, std::string_view text, const std::string& present) {
    if (text == present && !present.empty()) {
        return present;
    }
    std::string fault = faultOfText(text, longestId);
    if (text.empty()) {
        fault = "it is empty";
    } else if (fault.empty() && trimmed(text) != text) {
        fault = quote(text) + " has blanks at its ends";
    } else if (fault.empty() && isSamplesColumn(text)) {
        fault = quote(text) + " is the name of another column of the samples";
    }
    if (!fault.empty()) {
        return cellProblem("id", "the id of the analyte: " + fault, "give it a short id in one line");
    }
    if (findAnalyte(study, text)) {
        return cellProblem("id", "the analyte " + quote(text) + " is there already", "give each its own id");
    }
    return std::string{text};
}

Result<std::string> unitFrom(std::string_view analyte, std::string_view text) {
    if (std::string fault = faultOfText(text, longestJsonText); !fault.empty()) {
        return cellProblem("unit", "unit: " + fault, "write it in one line");
    }
    if (trimmed(text).empty()) {
        return std::string{};
    }
    if (const auto known = conversionFactor(analyte, text, text); !known) {
        return cellProblem("unit", quote(text) + " is not a known unit of " + shortened(analyte),
                           known.problem().remedy);
    }
    return canonicalUnit(text);
}

Result<std::string> specimenFrom(std::string_view text) {
    if (std::string fault = faultOfText(text, longestJsonText); !fault.empty()) {
        return cellProblem("specimen", "specimen: " + fault, "write it in one line");
    }
    return std::string{text};
}

/// Insulin that was read by another factor than the usual one has to stay: the factor is written with it.
std::optional<Problem> factorKept(const Study& study, const Analyte& analyte) {
    if (analyte.id != "insulin" || study.insulinPmolPerUiu == ConversionOptions{}.insulinPmolPerUiu) {
        return std::nullopt;
    }
    return cellProblem("id", "insulin has its own factor (pmol_per_uiu), which another name would lose",
                       "leave the analyte insulin as it is");
}

Result<Done> rename(Study& study, Analyte& analyte, std::string_view text) {
    Result<std::string> newId = idFrom(study, text, analyte.id);
    if (!newId) {
        return newId.problem();
    }
    if (newId.value() == analyte.id) {
        return Done{};
    }
    if (auto problem = nameInUse(study, NamedThing::analyte, newId.value())) {
        return *problem;
    }
    if (auto problem = factorKept(study, analyte)) {
        return *problem;
    }
    // Under another name the unit may be one that is not known.
    const Result<std::string> sameUnit = unitFrom(newId.value(), analyte.unit);
    if (!sameUnit) {
        return sameUnit.problem();
    }
    renameEverywhere(study, NamedThing::analyte, analyte.id, newId.value());
    analyte.id = std::move(newId).value();
    return Done{};
}

Result<Done> set(Study& study, const SetCell& cell) {
    const std::size_t row = cell.row;
    const std::size_t column = cell.column;
    const std::string& newText = cell.text;
    Analyte& analyte = study.analytes[row];
    if (column == id) {
        return rename(study, analyte, newText);
    }
    Result<std::string> read = column == unit ? unitFrom(analyte.id, newText) : specimenFrom(newText);
    if (!read) {
        return read.problem();
    }
    (column == unit ? analyte.unit : analyte.specimen) = std::move(read).value();
    return Done{};
}

Result<std::size_t> insert(Study& study, const InsertRow& change) {
    if (study.analytes.size() >= ReadLimits{}.columns) {
        return cellProblem({}, "the study has as many analytes as are read", "remove one first");
    }
    Result<std::string> newId = idFrom(study, change.cells[id], {});
    if (!newId) {
        return newId.problem();
    }
    Result<std::string> newUnit = unitFrom(newId.value(), change.cells[unit]);
    if (!newUnit) {
        return newUnit.problem();
    }
    Result<std::string> newSpecimen = specimenFrom(change.cells[specimen]);
    if (!newSpecimen) {
        return newSpecimen.problem();
    }
    study.analytes.insert(
        study.analytes.begin() + static_cast<std::ptrdiff_t>(change.row),
        {std::move(newId).value(), std::move(newUnit).value(), std::move(newSpecimen).value()});
    insertConcentrations(study, change.row);
    return change.row;
}

Result<Done> remove(Study& study, const RemoveRow& change) {
    const std::size_t row = change.row;
    if (auto problem = factorKept(study, study.analytes[row])) {
        return *problem;
    }
    if (hasConcentrations(study, row)) {
        return cellProblem("id",
                           "the analyte " + quote(study.analytes[row].id) +
                               " has concentrations in the samples, and cannot be removed",
                           "exclude it instead");
    }
    study.analytes.erase(study.analytes.begin() + static_cast<std::ptrdiff_t>(row));
    removeConcentrations(study, row);
    return Done{};
}

std::string nameOfRow(const Study& study, std::size_t row) {
    return "analyte " + shortened(study.analytes[row].id);
}

}  // namespace

const TableEdits analytesEdits{columns, rows, text, set, insert, remove, nameOfRow};

}  // namespace aftercurve
