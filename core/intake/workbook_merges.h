#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/intake/source.h"
#include "core/intake/text_arena.h"
#include "core/intake/workbook_archive.h"
#include "core/intake/workbook_xml.h"

namespace aftercurve {

/// Cells of a sheet that are shown as one; rows from 1, columns from 0, both ends inside.
struct MergedRegion {
    std::size_t firstRow = 0;
    std::size_t lastRow = 0;
    std::size_t firstColumn = 0;
    std::size_t lastColumn = 0;

    bool operator==(const MergedRegion&) const = default;
};

/// Cells that all merged regions of a sheet may have together; a sheet with more is refused, since filling
/// them would be all the work there is.
inline constexpr std::size_t largestMergedCells = 4'000'000;

/// Merged regions of a sheet by first row. They stand behind its rows, so the whole part is expanded once.
/// Nothing where `goOn`, asked every few MB, answered false.
Result<std::optional<std::vector<MergedRegion>>> readMerges(const WorkbookArchive& archive,
                                                            const std::string& part, std::string_view file,
                                                            const std::string& where, const XmlBounds& bounds,
                                                            const std::function<bool()>& goOn);

/// Gives the cells of merged regions the value of the first cell, row by row.
class MergeFiller {
  public:
    /// Regions by first row, which must outlive the filler; columns from `columns` on are not filled.
    MergeFiller(const std::vector<MergedRegion>& regions, std::size_t columns)
        : regions_(regions), columns_(columns) {}

    /// Fills the cells of `row`, lengthening the row where need be. Rows ascend from call to call.
    void fill(std::size_t row, std::vector<RawCell>& cells);

    /// The first row after `row` that a region begun at or before `row` covers; 0 where none does.
    std::size_t nextCovered(std::size_t row) const;

  private:
    struct Open {
        MergedRegion region;
        RawCell value;
        std::string text;
    };
    void openRegions(std::size_t row, const std::vector<RawCell>& cells);

    const std::vector<MergedRegion>& regions_;
    std::size_t columns_;
    std::size_t next_ = 0;
    std::vector<Open> open_;
};

}  // namespace aftercurve
