#include "core/publish/workbook_numbers.h"

#include <xlsxwriter.h>

#include <array>

#include "core/base/number_text.h"

namespace aftercurve {

std::optional<std::string> withLongNumbers(std::string_view xml, std::span<const LongNumber> numbers) {
    constexpr std::string_view valueBegin = "<v>";
    constexpr std::string_view valueEnd = "</v>";
    std::string exact;
    exact.reserve(xml.size() + 2 * numbers.size());
    std::size_t done = 0;
    for (const LongNumber& number : numbers) {
        std::array<char, LXW_MAX_CELL_NAME_LENGTH> name{};
        lxw_rowcol_to_cell(name.data(), number.row, number.column);
        const std::size_t cell = xml.find("<c r=\"" + std::string{name.data()} + "\"", done);
        const std::size_t begin = cell == std::string_view::npos ? cell : xml.find(valueBegin, cell);
        const std::size_t end = begin == std::string_view::npos ? begin : xml.find(valueEnd, begin);
        if (end == std::string_view::npos || xml.find("</c>", cell) < begin) {
            return std::nullopt;
        }
        exact += xml.substr(done, begin + valueBegin.size() - done);
        exact += plainNumber(number.value);
        done = end;
    }
    exact += xml.substr(done);
    return exact;
}

}  // namespace aftercurve
