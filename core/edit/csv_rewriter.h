#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace aftercurve {

/// A CSV file taken apart into its rows, whose bytes stay where they are. Blank lines, rows of empty cells
/// and whatever else is no row of data are gaps between them.
struct CsvRows {
    struct Row {
        std::size_t begin = 0;
        std::size_t end = 0;   ///< of its last cell, before the line end
        std::size_t next = 0;  ///< after the line end
        std::uint32_t line = 0;
    };

    std::string_view bytes;  ///< all, with the byte order mark
    Row header;
    std::vector<std::string> names;  ///< of the columns
    std::vector<Row> rows;

    /// Index of the row on a line.
    std::optional<std::size_t> rowOn(std::uint32_t line) const;
    std::optional<std::size_t> column(std::string_view name) const;
    /// True where the cell is empty or NA.
    bool isMissing(std::size_t row, std::size_t column) const;
};

/// Takes apart a file that the readers of the study accept; `bytes` must outlive the result.
CsvRows csvRows(std::string_view bytes);

/// The bytes of each cell of a row, with quotes and blanks.
std::vector<std::string_view> rawCells(std::string_view row);

/// A cell in the place of another, as it is to stand in the file (quoted and protected).
struct NewCell {
    std::size_t column = 0;
    std::string cell;
};

/// Writes such a file anew row by row: what is not changed keeps its bytes. Rows that are not asked for are
/// left out, gaps stay. The kind of line end, the byte order mark and a missing last line end are kept.
class CsvRewriter {
  public:
    /// `old` must outlive this.
    explicit CsvRewriter(const CsvRows& old);

    /// To be called first. `added` are cells after the last one.
    void header(std::span<const NewCell> changed, std::span<const std::string> added);
    void oldRow(std::size_t index, std::span<const NewCell> changed, std::span<const std::string> added);
    void newRow(std::span<const std::string> cells);
    /// The bytes of the whole file; the last call.
    std::string finish();

  private:
    void flush();
    void gapBefore(std::size_t row);
    void put(const CsvRows::Row& row, std::span<const NewCell> changed, std::span<const std::string> added);

    const CsvRows& old_;
    std::string out_;
    std::string lineEnd_;       ///< of the file
    std::string_view pending_;  ///< line end of the last row written, which another row or gap needs
    std::size_t next_ = 0;      ///< first row whose gap is not written
};

}  // namespace aftercurve
