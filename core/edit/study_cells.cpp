#include "core/edit/study_cells.h"

#include <array>
#include <charconv>
#include <cmath>
#include <limits>

#include "core/base/number_text.h"
#include "core/edit/table_edits.h"
#include "core/files/csv_cell.h"
#include "core/files/number_cell.h"

namespace aftercurve {

namespace {

// Columns of the assays and of the fibre table (columnsOf).
constexpr std::size_t valueColumn = 4;
constexpr std::size_t massColumn = 5;
constexpr std::size_t blankColumn = 6;
constexpr std::size_t basisColumn = 5;
constexpr std::size_t laboratoryColumn = 7;

constexpr int mostDigits = 17;
constexpr int nearbyNumbers = 4;  ///< doubles to either side of value / factor that are tried

/// The number rounded to so many significant digits.
double rounded(double value, int digits) {
    std::array<char, 40> text{};
    const auto end = std::to_chars(text.data(), text.data() + text.size(), value,
                                   std::chars_format::scientific, digits - 1)
                         .ptr;
    double read = value;
    std::from_chars(text.data(), end, read);
    return read;
}

bool isText(StudyTable table, std::size_t column, std::size_t columns) {
    switch (table) {
        case StudyTable::samples:
            return column <= 1 || column + 1 == columns;
        case StudyTable::visits:
            return column <= 1 || column >= 4;
        case StudyTable::diary:
            return column <= 1;
        case StudyTable::assays:
            return column <= 1 || column == blankColumn;
        case StudyTable::fibre:
            return column <= 2 || column == basisColumn || column == laboratoryColumn;
        default:
            return column <= 2;
    }
}

/// A reading that cannot be used is protected as a concentration is.
bool isMeasured(StudyTable table, std::size_t column) {
    return table == StudyTable::assays && (column == valueColumn || column == massColumn);
}

/// What a file without that column says in each of its rows.
std::string_view defaultText(StudyTable table, std::size_t column) {
    switch (table) {
        case StudyTable::samples:
            return column == 2 || column == 6 ? "1" : "";
        case StudyTable::visits:
            return column == 2 ? "1" : "";
        case StudyTable::assays:
            return column == 1 || column == 2 ? "1" : column == blankColumn ? "no" : "";
        case StudyTable::fibre:
            return column == 3 ? "1" : column == basisColumn ? "as-is" : "";
        default:
            return "";
    }
}

}  // namespace

std::string numberFor(double value, double factor) {
    if (factor == 1.0) {
        return plainNumber(value);
    }
    const double quotient = value / factor;
    for (int digits = 1; digits <= mostDigits; ++digits) {
        const double candidate = rounded(quotient, digits);
        if (candidate * factor == value) {
            return plainNumber(candidate);
        }
    }
    double best = quotient;
    double below = quotient;
    double above = quotient;
    for (int i = 0; i < nearbyNumbers; ++i) {
        below = std::nextafter(below, -std::numeric_limits<double>::infinity());
        above = std::nextafter(above, std::numeric_limits<double>::infinity());
        for (const double candidate : {below, above}) {
            if (std::abs(candidate * factor - value) < std::abs(best * factor - value)) {
                best = candidate;
            }
        }
    }
    return plainNumber(best);
}

std::string fileCell(const Study& study, StudyTable table, std::size_t row, std::size_t column,
                     double factor) {
    const std::size_t columns = columnCountOf(study, table);
    if (isText(table, column, columns)) {
        return textCell(cellText(study, table, row, column));
    }
    if (table == StudyTable::samples && column >= columnsBeforeAnalytes) {
        const std::size_t analyte = column - columnsBeforeAnalytes;
        if (const auto& value = study.concentrations[analyte][row]) {
            return numberFor(*value, factor);
        }
        if (const auto limit =
                belowLimitAt(study, static_cast<std::uint32_t>(row), static_cast<std::uint32_t>(analyte))) {
            return "<" + numberFor(*limit, factor);
        }
        return numberColumnCell(cellText(study, table, row, column));
    }
    if (isMeasured(table, column)) {
        return numberColumnCell(cellText(study, table, row, column));
    }
    return cellText(study, table, row, column);
}

bool isDefaultCell(const Study& study, StudyTable table, std::size_t row, std::size_t column) {
    return cellText(study, table, row, column) == defaultText(table, column);
}

bool isNeededColumn(StudyTable table, std::size_t column) {
    switch (table) {
        case StudyTable::samples:
            return column <= 1 || column == 4;
        case StudyTable::visits:
            return column <= 1;
        default:
            return column == 0;
    }
}

}  // namespace aftercurve
