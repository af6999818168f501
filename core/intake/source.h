#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/result.h"

namespace aftercurve {

/// Bounds on what is taken in; a file past one is refused with its size and the bound.
struct IntakeLimits {
    std::uintmax_t fileBytes = std::uintmax_t{1} << 30;
    std::uintmax_t expandedBytes = std::uintmax_t{1} << 30;  ///< of one part inside a workbook
    std::size_t columns = 4096;
    std::size_t rows = 20'000'000;
    std::size_t lineBytes = 1u << 20;
    std::size_t sheets = 256;
    std::size_t xmlDepth = 64;
};

/// How a delimited text is written. A guess fills it; a person or a mapping file may set any part.
struct TextDialect {
    std::string encoding = "utf-8";  ///< utf-8, utf-16le, utf-16be, latin-1 (read as Windows-1252)
    char delimiter = ',';            ///< comma, semicolon, tab or vertical bar
    char decimalMark = '.';          ///< '.' or ','

    bool operator==(const TextDialect&) const = default;
};

enum class CellKind : std::uint8_t {
    empty,
    text,      ///< `text`; all cells of a delimited text are of this kind or empty
    number,    ///< `number`, and `text` as the shortest form of it (whole numbers below 1e15 in full digits)
    date,      ///< `number`: days since 1899-12-30 (may carry a part of a day); `text`: ISO 8601
    clock,     ///< `number`: part of a day in [0, 1); `text`: HH:MM:SS
    duration,  ///< `number`: days, may pass 1 or be negative; `text`: HH:MM:SS, hours may pass 24
    truth,     ///< TRUE or FALSE in `text`, 1 or 0 in `number`
    error,     ///< an error value of the workbook ("#DIV/0!"), a formula without stored value, in `text`
};

/// One cell as the source gave it. The text is valid during the visit of its row only.
struct RawCell {
    CellKind kind = CellKind::empty;
    std::string_view text;
    double number = 0.0;
};

/// One table of a source: the whole of a delimited text, or one sheet of a workbook.
struct SourceTable {
    std::string name;     ///< sheet name; empty for a text
    bool hidden = false;  ///< a sheet that the workbook hides
};

/// A file to take in: its bytes, what kind it is, the tables in it. Cheap to copy (shares the bytes).
struct Source {
    std::string file;    ///< file name without folder, as messages and mapping files name it
    std::string sha256;  ///< of the bytes
    bool workbook = false;
    std::vector<SourceTable> tables;
    std::shared_ptr<const struct SourceContent> content;
};

/// Opens a file: kind by its first bytes (not by its name), size checked before a byte is read, workbook
/// parts checked for size and ratio before any is expanded. Fails for: no file, not a regular file, too
/// large, empty, an old binary or encrypted workbook (says how to save it anew), a damaged archive.
Result<Source> openSource(const std::filesystem::path& path, const IntakeLimits& limits = {});

/// The same from bytes in memory (tests, fuzzing, paste).
Result<Source> sourceFromBytes(std::string file, std::string bytes, const IntakeLimits& limits = {});

/// Encoding, delimiter and decimal mark that fit a text best; byte order mark first, then the pattern of NULs
/// (UTF-16 without mark), then UTF-8 validity, then Windows-1252; delimiter and decimal mark by which pair
/// gives the most even rows with the most cells that read as numbers (the rule in full: dialect_guess.h).
/// Nothing to guess in a workbook: the default comes back.
TextDialect guessDialect(const Source& source, const IntakeLimits& limits = {});

/// What the visitor answers.
enum class Visit { goOn, stop };

/// Called for each row in file order with its row number (from 1; the line on which it begins for a text, the
/// row of the sheet for a workbook) and its cells; trailing empty cells may be left out. Rows whose cells are
/// all empty are not visited. In a merged region every cell carries the value of the first. What the visitor
/// holds on to it must copy.
using RowVisitor = std::function<Visit(std::size_t row, std::span<const RawCell> cells)>;

/// Walks one table in a single pass; memory does not grow with the number of rows of a text. `progress` (may
/// be empty) is told the share done every few MB and answers false to stop; a visit that is stopped is a
/// success. `table` is a precondition. Several visits may run at once. Fails where the text does not
/// decode (row named), a quote is never closed, a bound is passed, the sheet's XML is damaged.
Result<Done> visitRows(const Source& source, std::size_t table, const TextDialect& dialect,
                       const IntakeLimits& limits, const RowVisitor& visitor,
                       const std::function<bool(double)>& progress = {});

}  // namespace aftercurve
