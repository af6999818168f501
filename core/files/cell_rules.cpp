#include "core/files/cell_rules.h"

#include <charconv>

#include "core/files/csv_cell.h"
#include "core/files/delimited.h"
#include "core/files/excerpt.h"

namespace aftercurve {

namespace {

constexpr std::size_t longestFlawText = 400;

bool isMinutes(const NumberCell& number) {
    return number.kind == NumberKind::value && number.value >= -largestTimeMin &&
           number.value <= largestTimeMin;
}

/// The first `bytes` of a text, less where a character would be cut.
std::string_view cutTo(std::string_view text, std::size_t bytes) {
    if (text.size() <= bytes) {
        return text;
    }
    while (bytes > 0 && (static_cast<unsigned char>(text[bytes]) & 0xc0u) == 0x80u) {
        --bytes;
    }
    return text.substr(0, bytes);
}

}  // namespace

std::optional<std::int32_t> countIn(std::string_view cell) {
    if (cell.size() == 1 && cell[0] >= '1' && cell[0] <= '9') {
        return cell[0] - '0';
    }
    std::int32_t count = 0;
    const auto parsed = std::from_chars(cell.data(), cell.data() + cell.size(), count);
    const bool fits = parsed.ec == std::errc{} && parsed.ptr == cell.data() + cell.size() && count >= 1 &&
                      count <= largestCount;
    return fits ? std::optional{count} : std::nullopt;
}

std::optional<double> minutesIn(std::string_view cell) {
    const NumberCell number = readNumber(cell);
    return isMinutes(number) ? std::optional{number.value} : std::nullopt;
}

std::string faultOfMinutes(std::string_view cell) {
    const NumberCell number = readNumber(cell);
    return number.kind == NumberKind::value ? quote(cell) + " lies beyond 1000000 min either way"
                                            : faultOf(number.kind, cell);
}

std::string faultOfConcentration(const NumberCell& number, std::string_view cell) {
    switch (number.kind) {
        case NumberKind::missing:
        case NumberKind::belowLimit:
            return {};
        case NumberKind::value:
            return number.value < 0.0 ? quote(cell) + " is negative; a concentration cannot be"
                                      : std::string{};
        default:
            return faultOf(number.kind, numberColumnText(cell));
    }
}

std::string remedyForConcentration(const NumberCell& number) {
    return number.kind == NumberKind::value ? "check the value, or enter NA" : remedyFor(number.kind);
}

std::string flawTextOf(std::string_view cell) {
    return flawTextFrom(numberColumnText(cell));
}

std::string flawTextFrom(std::string_view text) {
    return printable(cutTo(text, longestFlawText));
}

FreeText freeTextIn(std::string_view cell) {
    const std::string_view text = textIn(trimmed(cell));
    const std::string_view cut = cutTo(text, longestText);
    return {std::string{trimmed(printable(cut))}, cut.size() != text.size()};
}

}  // namespace aftercurve
