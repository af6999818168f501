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
    if (table == StudyTable::samples) {
        return column <= 1 || column + 1 == columns;
    }
    return table == StudyTable::visits ? column <= 1 || column >= 4 : column <= 2;
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
    return cellText(study, table, row, column);
}

bool isDefaultCell(const Study& study, StudyTable table, std::size_t row, std::size_t column) {
    const bool count = (table == StudyTable::samples && (column == 2 || column == 6)) ||
                       (table == StudyTable::visits && column == 2);
    const std::string text = cellText(study, table, row, column);
    return count ? text == "1" : text.empty();
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
