#include "core/publish/printed_number.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <optional>
#include <string_view>

#include "core/base/number_text.h"

namespace aftercurve {

namespace {

constexpr int mostDecimals = 12;
constexpr double largestFixed = 1e9;
constexpr double smallestFixed = 1e-4;
constexpr std::string_view minusSign = "\u2212";

/// Two number columns that hold an interval, and the columns whose precision it tells.
struct IntervalColumns {
    std::size_t low = 0;
    std::size_t high = 0;
    std::vector<std::size_t> about;
};

std::optional<std::size_t> numberColumnNamed(const Table& table, std::string_view key) {
    for (std::size_t c = 0; c < table.columns.size(); ++c) {
        if (table.columns[c].key == key && table.columns[c].kind == ColumnKind::number) {
            return c;
        }
    }
    return std::nullopt;
}

bool isBound(const Column& column) {
    return column.key.ends_with("_low") || column.key.ends_with("_high");
}

std::vector<std::size_t> estimatesOf(const Table& table, std::size_t low, std::size_t high,
                                     std::string_view stem) {
    if (stem.ends_with("_ci")) {
        if (const auto named = numberColumnNamed(table, stem.substr(0, stem.size() - 3))) {
            return {*named};
        }
    }
    std::vector<std::size_t> columns;
    const auto add = [&](std::size_t c) {
        if (table.columns[c].decimals == table.columns[low].decimals && !isBound(table.columns[c])) {
            columns.push_back(c);
        }
    };
    for (const std::size_t bound : {low, high}) {
        for (const std::string& input : table.columns[bound].inputs) {
            if (const auto named = numberColumnNamed(table, input)) {
                add(*named);
            }
        }
    }
    if (columns.empty()) {
        for (std::size_t c = low; c > 0 && table.columns[c - 1].kind == ColumnKind::number; --c) {
            add(c - 1);
        }
    }
    return columns;
}

std::vector<IntervalColumns> intervalsOf(const Table& table) {
    std::vector<IntervalColumns> intervals;
    for (std::size_t low = 0; low < table.columns.size(); ++low) {
        const Column& column = table.columns[low];
        if (column.kind != ColumnKind::number || !column.key.ends_with("_low") ||
            !column.title.ends_with("from")) {
            continue;
        }
        const std::string stem = column.key.substr(0, column.key.size() - 4);
        const auto high = numberColumnNamed(table, stem + "_high");
        if (high && table.columns[*high].title.ends_with("to")) {
            intervals.push_back({low, *high, estimatesOf(table, low, *high, stem)});
        }
    }
    return intervals;
}

const double* numberIn(const Row& row, std::size_t column) {
    return column < row.cells.size() ? std::get_if<double>(&row.cells[column]) : nullptr;
}

int digitsBehindPoint(double size) {
    return 1 - static_cast<int>(std::floor(std::log10(size)));
}

std::string superscript(int value) {
    constexpr std::array<std::string_view, 10> digits = {"⁰", "¹", "²", "³", "⁴", "⁵", "⁶", "⁷", "⁸", "⁹"};
    std::string text = value < 0 ? "⁻" : "";
    for (const char c : std::to_string(std::abs(value))) {
        text += digits[static_cast<std::size_t>(c - '0')];
    }
    return text;
}

std::string powerText(double size) {
    std::array<char, 32> buffer{};
    const auto end =
        std::to_chars(buffer.data(), buffer.data() + buffer.size(), size, std::chars_format::scientific, 1)
            .ptr;
    const std::string_view text(buffer.data(), static_cast<std::size_t>(end - buffer.data()));
    const std::size_t mark = text.find('e');
    std::string_view digits = text.substr(mark + 1);
    digits.remove_prefix(digits.starts_with('+') ? 1 : 0);
    int exponent = 0;
    std::from_chars(digits.data(), digits.data() + digits.size(), exponent);
    return std::string{text.substr(0, mark)} + " × 10" + superscript(exponent);
}

}  // namespace

int decimalsForWidth(double width, int decimals) {
    const double size = std::abs(width);
    if (!std::isfinite(size) || size == 0.0) {
        return decimals;
    }
    return std::max(decimals, std::min(digitsBehindPoint(size), mostDecimals));
}

std::vector<std::vector<PrintedDecimals>> printedDecimals(const Table& table) {
    const std::vector<IntervalColumns> intervals = intervalsOf(table);
    std::vector<PrintedDecimals> usual;
    for (const Column& column : table.columns) {
        usual.push_back({column.decimals, false});
    }
    std::vector<std::vector<PrintedDecimals>> decimals(table.rows.size(), usual);
    for (std::size_t r = 0; r < table.rows.size(); ++r) {
        for (const IntervalColumns& interval : intervals) {
            const double* low = numberIn(table.rows[r], interval.low);
            const double* high = numberIn(table.rows[r], interval.high);
            const double width = low != nullptr && high != nullptr ? std::abs(*high - *low) : 0.0;
            if (!std::isfinite(width) || width == 0.0 || digitsBehindPoint(width) > mostDecimals) {
                continue;
            }
            const auto raise = [&](std::size_t c) {
                PrintedDecimals& cell = decimals[r][c];
                cell = {std::max(cell.decimals, decimalsForWidth(width, table.columns[c].decimals)), true};
            };
            raise(interval.low);
            raise(interval.high);
            std::for_each(interval.about.begin(), interval.about.end(), raise);
        }
    }
    return decimals;
}

bool printedAsPower(double value, PrintedDecimals decimals) {
    const double size = std::abs(value);
    return size >= largestFixed || (size > 0.0 && size < smallestFixed && !decimals.byInterval);
}

int decimalsShowing(double value, PrintedDecimals decimals) {
    const double size = std::abs(value);
    if (decimals.byInterval || size == 0.0 || !std::isfinite(size) ||
        fixedNumber(size, decimals.decimals).find_first_of("123456789") != std::string::npos) {
        return decimals.decimals;
    }
    return decimalsForWidth(size, decimals.decimals);
}

std::string printedNumber(double value, PrintedDecimals decimals) {
    if (!std::isfinite(value)) {
        return "not finite";
    }
    if (printedAsPower(value, decimals)) {
        return (value < 0.0 ? std::string{minusSign} : std::string{}) + powerText(std::abs(value));
    }
    std::string text = fixedNumber(value, decimalsShowing(value, decimals));
    if (text.starts_with('-')) {
        text.replace(0, 1, minusSign);
    }
    return text;
}

std::string printedP(double p) {
    if (!std::isfinite(p)) {
        return "not finite";
    }
    if (p < 0.001) {
        return "< 0.001";
    }
    return p > 0.999 ? "> 0.999" : fixedNumber(p, 3);
}

}  // namespace aftercurve
