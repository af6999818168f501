#include "core/files/number_cell.h"

#include <fast_float/fast_float.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <optional>

#include "core/files/delimited.h"
#include "core/files/excerpt.h"

namespace aftercurve {

namespace {

bool isDigit(char c) {
    return c >= '0' && c <= '9';
}

bool isMissingWord(std::string_view cell) {
    return cell.empty() || cell == "NA" || cell == "na" || cell == "N/A" || cell == "n/a";
}

std::string_view withoutSign(std::string_view cell) {
    if (!cell.empty() && (cell.front() == '-' || cell.front() == '+')) {
        cell.remove_prefix(1);
    }
    return cell;
}

bool hasDecimalComma(std::string_view cell) {
    const std::string_view number = withoutSign(cell);
    const std::size_t comma = number.find(',');
    if (comma == std::string_view::npos || number.size() == 1) {
        return false;
    }
    return std::all_of(number.begin(), number.end(), [](char c) { return isDigit(c) || c == ','; }) &&
           number.find(',', comma + 1) == std::string_view::npos;
}

bool isNotFiniteWord(std::string_view cell) {
    std::string word{withoutSign(cell)};
    std::transform(word.begin(), word.end(), word.begin(),
                   [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
    return word == "inf" || word == "infinity" || word == "nan";
}

NumberKind kindOfText(std::string_view cell) {
    if (isMissingWord(cell)) {
        return NumberKind::missing;
    }
    if (cell.front() == '<' || cell.front() == '>') {
        return NumberKind::beyondLimit;
    }
    if (hasDecimalComma(cell)) {
        return NumberKind::decimalComma;
    }
    if (cell.size() <= 16 && isNotFiniteWord(cell)) {
        return NumberKind::notFinite;
    }
    return NumberKind::text;
}

/// Numbers as nearly all cells hold them: digits and perhaps a point, 15 digits at most. Both the digits as a
/// whole number and the power of ten are exact then, so their quotient is the nearest double, as a full
/// parser gives it (Clinger 1990).
std::optional<double> plainDecimal(std::string_view digits) {
    constexpr std::array powers{1e0, 1e1, 1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};
    if (digits.empty() || digits.size() > powers.size()) {
        return std::nullopt;
    }
    std::uint64_t whole = 0;
    std::size_t point = digits.size() - 1;
    for (std::size_t i = 0; i < digits.size(); ++i) {
        const auto digit = static_cast<unsigned>(digits[i]) - static_cast<unsigned>('0');
        if (digit <= 9) {
            whole = whole * 10 + digit;
        } else if (digits[i] == '.' && point == digits.size() - 1 && i > 0 && i < point) {
            point = i;
        } else {
            return std::nullopt;
        }
    }
    return static_cast<double>(whole) / powers[digits.size() - 1 - point];
}

}  // namespace

NumberCell readNumber(std::string_view cell) {
    if (const auto value = plainDecimal(cell); value && *value <= largestNumber) {
        return {NumberKind::value, *value};
    }
    cell = trimmed(cell);
    if (cell.size() > 1 && cell.front() == '<') {
        const std::string_view limit = trimmed(cell.substr(1));
        const NumberCell read = !limit.empty() && limit.front() != '<' ? readNumber(limit) : NumberCell{};
        return read.kind == NumberKind::value && read.value > 0.0
                   ? NumberCell{NumberKind::belowLimit, read.value}
                   : NumberCell{NumberKind::beyondLimit, 0.0};
    }
    const std::string_view digits = withoutSign(cell);
    if (digits.empty() || !(isDigit(digits.front()) || digits.front() == '.')) {
        return {kindOfText(cell), 0.0};
    }
    // A leading plus is common in times ("+15"); the parser knows the minus only.
    const std::string_view number = cell.front() == '+' ? digits : cell;
    double value = 0.0;
    const auto parsed = fast_float::from_chars(number.data(), number.data() + number.size(), value);
    if (parsed.ec == std::errc::result_out_of_range && parsed.ptr == number.data() + number.size()) {
        return {std::abs(value) > 1.0 ? NumberKind::tooLarge : NumberKind::value, 0.0};
    }
    if (parsed.ec != std::errc{} || parsed.ptr != number.data() + number.size()) {
        return {kindOfText(cell), 0.0};
    }
    if (!(std::abs(value) <= largestNumber)) {
        return {NumberKind::tooLarge, 0.0};
    }
    return {NumberKind::value, value + 0.0};  // −0 becomes 0
}

std::string faultOf(NumberKind kind, std::string_view cell) {
    const std::string value = quote(cell);
    switch (kind) {
        case NumberKind::missing:
            return "the cell is empty";
        case NumberKind::value:
        case NumberKind::text:
            return value + " is not a number";
        case NumberKind::decimalComma:
            return value + " is written with a decimal comma";
        case NumberKind::belowLimit:
            return value + " lies below the limit of quantification";
        case NumberKind::beyondLimit:
            return value + " lies beyond the quantification limit and is no number";
        case NumberKind::notFinite:
            return value + " is not a finite number";
        case NumberKind::tooLarge:
            return value + " is larger than 1e9, the largest number that is read";
    }
    return value + " is not a number";
}

std::string remedyFor(NumberKind kind) {
    switch (kind) {
        case NumberKind::decimalComma:
            return "write numbers with a decimal point";
        case NumberKind::beyondLimit:
            return "enter NA, or the value that the study's protocol sets for such samples";
        case NumberKind::missing:
        case NumberKind::value:
        case NumberKind::belowLimit:
        case NumberKind::text:
        case NumberKind::notFinite:
            return "enter the number, or NA where there is none";
        case NumberKind::tooLarge:
            return "check the value and its unit";
    }
    return {};
}

}  // namespace aftercurve
