#include "core/intake/cell_place.h"

#include <charconv>

namespace aftercurve {

std::optional<CellPlace> cellPlace(std::string_view reference) {
    const auto dropDollar = [&reference] {
        if (reference.starts_with('$')) {
            reference.remove_prefix(1);
        }
    };
    dropDollar();
    std::size_t column = 0;
    while (!reference.empty() && column <= largestSheetColumn) {
        const char letter = reference.front();
        if (letter >= 'A' && letter <= 'Z') {
            column = column * 26 + static_cast<std::size_t>(letter - 'A' + 1);
        } else if (letter >= 'a' && letter <= 'z') {
            column = column * 26 + static_cast<std::size_t>(letter - 'a' + 1);
        } else {
            break;
        }
        reference.remove_prefix(1);
    }
    dropDollar();
    std::size_t row = 0;
    const char* const end = reference.data() + reference.size();
    const auto parsed = std::from_chars(reference.data(), end, row);
    const bool whole = !reference.empty() && parsed.ec == std::errc{} && parsed.ptr == end;
    if (!whole || column == 0 || column > largestSheetColumn || row == 0 || row > largestSheetRow) {
        return std::nullopt;
    }
    return CellPlace{row, column - 1};
}

std::string columnLetters(std::size_t column) {
    std::string letters;
    for (std::size_t rest = column + 1; rest > 0; rest = (rest - 1) / 26) {
        letters.insert(letters.begin(), static_cast<char>('A' + (rest - 1) % 26));
    }
    return letters;
}

}  // namespace aftercurve
