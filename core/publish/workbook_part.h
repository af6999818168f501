#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "core/publish/workbook_styles_list.h"

namespace aftercurve {

/// The XML of one sheet, written row by row.
class SheetPart {
  public:
    explicit SheetPart(SheetStyles& styles) : styles_(styles) {}

    void beginRow();
    /// The next cell of the row. A text that is too long is shortened; see `shortened`.
    void addText(std::string_view text, SheetStyle style);
    void addNumber(double value, const SheetStyle& style);
    void addCount(std::int64_t count, SheetStyle style);
    void skipCell() { ++column_; }

    std::size_t shortened() const { return shortened_; }

    /// The whole part, with the first row frozen and columns as wide as their texts, within bounds.
    std::string xml(bool selected) const;

  private:
    std::string cellHead(const SheetStyle& style);
    void widen(std::size_t letters);

    SheetStyles& styles_;
    std::string rows_;
    std::size_t row_ = 0;
    std::size_t column_ = 0;
    std::size_t shortened_ = 0;
    std::vector<std::size_t> widths_;
};

/// A text as a string of the format: characters that look like its escape for control characters ("_x0041_")
/// are escaped themselves (ST_Xstring, ECMA-376 part 1, 22.9.2.19).
std::string sheetString(std::string_view text);

}  // namespace aftercurve
