#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "core/base/point_as_decimal_mark.h"
#include "core/base/result.h"
#include "core/publish/publication.h"

struct lxw_workbook;
struct lxw_worksheet;
struct lxw_format;

namespace aftercurve {

/// How a cell of a workbook looks.
struct SheetStyle {
    std::string format;    ///< code of a number format; empty: general; "@": a text, also once it is edited
    bool bold = false;     ///< header: bold, with a line below
    bool muted = false;    ///< grey
    bool wrapped = false;  ///< over several lines

    bool operator==(const SheetStyle&) const = default;
};

/// A number of a sheet whose 17th digit matters.
struct LongNumber {
    std::uint32_t row = 0;  ///< from 0
    std::uint16_t column = 0;
    double value = 0.0;
};

class WorkbookFile;

/// One sheet, written row by row from left to right.
class WorkbookSheet {
  public:
    WorkbookSheet(WorkbookFile& file, lxw_worksheet* sheet) : file_(file), sheet_(sheet) {}

    void beginRow();
    /// The next cell of the row; the text is cleaned (clean_text.h). A text that is too long is shortened;
    /// see `shortened`. An empty one leaves the cell empty.
    void addText(std::string_view text, SheetStyle style);
    /// A number, or the text "not finite".
    void addNumber(double value, const SheetStyle& style);
    /// A count; a text where a double does not hold it (past 2^53).
    void addCount(std::int64_t count, SheetStyle style);
    void skipCell() { ++column_; }

    std::size_t shortened() const { return shortened_; }
    const std::vector<LongNumber>& longNumbers() const { return longNumbers_; }

    /// Columns as wide as their texts, within bounds; the first row frozen, and repeated on every printed
    /// page.
    void finish();

  private:
    void widen(std::size_t letters);

    WorkbookFile& file_;
    lxw_worksheet* sheet_;
    std::size_t rows_ = 0;
    std::size_t column_ = 0;
    std::size_t shortened_ = 0;
    std::vector<std::size_t> widths_;
    std::vector<LongNumber> longNumbers_;
};

/// A workbook (Office Open XML) in the making, by libxlsxwriter. It grows in a folder of its own that only
/// its owner can read, below the system's temporary one, and that goes with this object. One thread at a
/// time.
class WorkbookFile {
  public:
    /// Fails where the folder cannot be made.
    static Result<std::unique_ptr<WorkbookFile>> create(const Publication& publication);
    WorkbookFile(const WorkbookFile&) = delete;
    WorkbookFile& operator=(const WorkbookFile&) = delete;
    WorkbookFile(WorkbookFile&&) = delete;
    WorkbookFile& operator=(WorkbookFile&&) = delete;
    ~WorkbookFile();

    /// A new last sheet. The name keeps the rules of the format.
    WorkbookSheet& addSheet(const std::string& name);

    /// The whole file, after which nothing can be added. The same sheets give the same bytes: the library
    /// writes 16 digits of a number and names another program, so the exact numbers and this program's name
    /// are put in, and the archive is made anew with fixed dates. Fails with what the library said.
    Result<std::string> bytes();

  private:
    friend class WorkbookSheet;
    explicit WorkbookFile(std::filesystem::path folder);
    lxw_format* formatOf(const SheetStyle& style);
    void keep(int error);

    PointAsDecimalMark point_;  ///< the library prints numbers by the locale of the thread
    std::filesystem::path folder_;
    std::string file_;
    std::string temporary_;
    lxw_workbook* workbook_ = nullptr;
    int error_ = 0;  ///< the first, lxw_error
    std::vector<std::unique_ptr<WorkbookSheet>> sheets_;
    std::vector<std::pair<SheetStyle, lxw_format*>> formats_;
};

/// A text as a string of the format: characters that look like its escape for control characters ("_x0041_")
/// are escaped themselves (ST_Xstring, ECMA-376 part 1, 22.9.2.19).
std::string sheetString(std::string_view text);

}  // namespace aftercurve
