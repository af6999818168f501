#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace aftercurve {

/// Rows and cells of delimited text, one pass, no copy of plain cells (RFC 4180, with the delimiter of
/// choice: a cell may stand in double quotes, a doubled quote inside stands for one, line ends inside belong
/// to the cell). LF, CRLF and CR end a line; lines that are empty or blank are skipped. A quote inside a
/// plain cell is taken as it is. A text may be given in pieces (Input::goesOn, continueWith).
class DelimitedScanner {
  public:
    enum class Step {
        row,             ///< cells() holds the next row
        end,             ///< nothing follows
        more,            ///< the piece ends before the row does; continueWith() gives the rest
        lineTooLong,     ///< the row is longer than lineBytes; the scan ends
        quoteNotClosed,  ///< a quote opened in this row has no end; the scan ends
        textAfterQuote,  ///< something other than a delimiter follows a closing quote; the scan ends
    };

    /// Whether the text is all there is, or the first piece of it.
    enum class Input { complete, goesOn };

    /// `text` must outlive the scanner. At most `columns` cells of a row are kept, the rest is counted.
    /// `delimiter` is no quote, CR or LF.
    DelimitedScanner(std::string_view text, std::size_t lineBytes, std::size_t columns, char delimiter = ',',
                     Input input = Input::complete);

    /// After Step::more: `text` begins with what was left of the piece before, from offset() on, and has more
    /// behind it. Rows go on being numbered; offset() counts from the begin of `text`.
    void continueWith(std::string_view text, Input input);

    Step next();

    /// Cells of the row, valid until the next call.
    std::span<const std::string_view> cells() const { return {cells_.data(), kept_}; }
    /// Number of cells in the row, also those not kept.
    std::size_t cellCount() const { return count_; }
    /// Physical line, from 1, on which the row begins.
    std::size_t row() const { return row_; }
    /// Physical line on which what follows offset() begins.
    std::size_t line() const { return line_; }
    /// Offset of the first byte of the row; its last is before offset(), the line end between.
    std::size_t begin() const { return begin_; }
    /// The longest row that is read.
    std::size_t lineBytes() const { return lineBytes_; }
    /// Bytes read so far.
    std::size_t offset() const { return position_; }

  private:
    Step scanRow();
    Step scanQuoted(std::size_t stop);
    void scanPlain(std::size_t stop);
    template <class Delimiter>
    void scanPlainUpTo(std::size_t stop, Delimiter delimiter);
    template <class Delimiter>
    std::size_t plainCellEnd(std::size_t from, std::size_t stop, Delimiter delimiter);
    void addCell(std::string_view cell);
    bool skipLineEnd();
    bool endsPlainCell(char c) const { return c == delimiter_ || c == '\n' || c == '\r'; }
    void restoreUnescaped();

    struct Unescaped {
        std::size_t cell;
        std::size_t begin;
        std::size_t length;
    };

    std::string_view text_;
    std::size_t lineBytes_;
    char delimiter_;
    Input input_;
    std::size_t position_ = 0;
    std::size_t line_ = 1;
    std::size_t block_ = std::string_view::npos;  ///< begin of the 64 bytes that ends_ describes
    std::uint64_t ends_ = 0;                      ///< bit i: byte i of the block ends a plain cell
    std::size_t row_ = 0;
    std::size_t begin_ = 0;
    std::size_t count_ = 0;
    std::size_t kept_ = 0;
    std::vector<std::string_view> cells_;
    std::string scratch_;  ///< text of cells with doubled quotes
    std::vector<Unescaped> unescaped_;
};

/// `cell` without blanks and tabs at its ends.
inline std::string_view trimmed(std::string_view cell) {
    const auto blank = [](char c) { return c == ' ' || c == '\t'; };
    while (!cell.empty() && blank(cell.front())) {
        cell.remove_prefix(1);
    }
    while (!cell.empty() && blank(cell.back())) {
        cell.remove_suffix(1);
    }
    return cell;
}

}  // namespace aftercurve
