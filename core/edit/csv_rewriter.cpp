#include "core/edit/csv_rewriter.h"

#include <algorithm>

#include "core/files/csv_cell.h"
#include "core/files/delimited.h"
#include "core/files/number_cell.h"
#include "core/files/study_folder.h"

namespace aftercurve {

namespace {

constexpr std::string_view byteOrderMark = "\xef\xbb\xbf";

CsvRows::Row rowOf(const DelimitedScanner& scanner, std::string_view text, std::size_t offset) {
    CsvRows::Row row;
    row.begin = scanner.begin();
    row.next = scanner.offset();
    row.end = row.next;
    // At most one line end belongs to the row: the scanner stops after it.
    if (row.end > row.begin && text[row.end - 1] == '\n') {
        --row.end;
        if (row.end > row.begin && text[row.end - 1] == '\r') {
            --row.end;
        }
    } else if (row.end > row.begin && text[row.end - 1] == '\r') {
        --row.end;
    }
    row.line = static_cast<std::uint32_t>(scanner.row());
    row.begin += offset;
    row.end += offset;
    row.next += offset;
    return row;
}

bool holdsNothing(const DelimitedScanner& scanner) {
    const auto cells = scanner.cells();
    return std::all_of(cells.begin(), cells.end(),
                       [](std::string_view cell) { return trimmed(cell).empty(); });
}

}  // namespace

std::optional<std::size_t> CsvRows::rowOn(std::uint32_t line) const {
    const auto found = std::lower_bound(rows.begin(), rows.end(), line,
                                        [](const Row& row, std::uint32_t key) { return row.line < key; });
    const bool there = found != rows.end() && found->line == line;
    return there ? std::optional{static_cast<std::size_t>(found - rows.begin())} : std::nullopt;
}

std::optional<std::size_t> CsvRows::column(std::string_view name) const {
    const auto found = std::find(names.begin(), names.end(), name);
    return found == names.end() ? std::nullopt
                                : std::optional{static_cast<std::size_t>(found - names.begin())};
}

bool CsvRows::isMissing(std::size_t row, std::size_t column) const {
    const Row& place = rows[row];
    std::string_view cell = rawCells(bytes.substr(place.begin, place.end - place.begin))[column];
    if (cell.size() >= 2 && cell.front() == '"') {
        cell = cell.substr(1, cell.size() - 2);
    }
    return readNumber(cell).kind == NumberKind::missing;
}

CsvRows csvRows(std::string_view bytes) {
    const ReadLimits limits;
    CsvRows file;
    file.bytes = bytes;
    const std::size_t offset = bytes.starts_with(byteOrderMark) ? byteOrderMark.size() : 0;
    const std::string_view text = bytes.substr(offset);
    DelimitedScanner scanner{text, limits.lineBytes, limits.columns};
    if (scanner.next() != DelimitedScanner::Step::row) {
        return file;
    }
    file.header = rowOf(scanner, text, offset);
    for (const std::string_view cell : scanner.cells()) {
        file.names.emplace_back(textIn(trimmed(cell)));
    }
    while (scanner.next() == DelimitedScanner::Step::row) {
        if (!holdsNothing(scanner)) {
            file.rows.push_back(rowOf(scanner, text, offset));
        }
    }
    return file;
}

std::vector<std::string_view> rawCells(std::string_view row) {
    std::vector<std::string_view> cells;
    std::size_t begin = 0;
    std::size_t at = 0;
    bool quoted = row.starts_with('"');
    at += quoted ? 1 : 0;
    for (; at < row.size(); ++at) {
        if (quoted) {
            if (row[at] == '"' && at + 1 < row.size() && row[at + 1] == '"') {
                ++at;
            } else if (row[at] == '"') {
                quoted = false;
            }
        } else if (row[at] == ',') {
            cells.push_back(row.substr(begin, at - begin));
            begin = at + 1;
            if (begin < row.size() && row[begin] == '"') {
                quoted = true;
                ++at;
            }
        }
    }
    cells.push_back(row.substr(begin));
    return cells;
}

CsvRewriter::CsvRewriter(const CsvRows& old) : old_(old) {
    const std::string_view end = old.bytes.substr(old.header.end, old.header.next - old.header.end);
    lineEnd_ = end.empty() ? "\n" : std::string{end};
    out_.reserve(old.bytes.size() + old.bytes.size() / 16);
}

void CsvRewriter::flush() {
    out_ += pending_;
    pending_ = {};
}

void CsvRewriter::put(const CsvRows::Row& row, std::span<const NewCell> changed,
                      std::span<const std::string> added) {
    flush();
    const std::string_view bytes = old_.bytes.substr(row.begin, row.end - row.begin);
    if (changed.empty()) {
        out_ += bytes;
    } else {
        const std::vector<std::string_view> cells = rawCells(bytes);
        for (std::size_t i = 0; i < cells.size(); ++i) {
            const auto wanted = std::find_if(changed.begin(), changed.end(),
                                             [i](const NewCell& one) { return one.column == i; });
            out_ += i == 0 ? "" : ",";
            out_ += wanted == changed.end() ? cells[i] : std::string_view{wanted->cell};
        }
    }
    for (const std::string& cell : added) {
        out_ += ',' + cell;
    }
    pending_ =
        row.next > row.end ? old_.bytes.substr(row.end, row.next - row.end) : std::string_view{lineEnd_};
}

void CsvRewriter::header(std::span<const NewCell> changed, std::span<const std::string> added) {
    out_ += old_.bytes.substr(0, old_.header.begin);
    put(old_.header, changed, added);
}

/// Writes the gaps before the rows up to and with `row`.
void CsvRewriter::gapBefore(std::size_t row) {
    for (; next_ <= row; ++next_) {
        const std::size_t from = next_ == 0 ? old_.header.next : old_.rows[next_ - 1].next;
        const std::size_t to = next_ == old_.rows.size() ? old_.bytes.size() : old_.rows[next_].begin;
        if (to > from) {
            flush();
            out_ += old_.bytes.substr(from, to - from);
        }
    }
}

void CsvRewriter::oldRow(std::size_t index, std::span<const NewCell> changed,
                         std::span<const std::string> added) {
    gapBefore(index);
    put(old_.rows[index], changed, added);
}

void CsvRewriter::newRow(std::span<const std::string> cells) {
    flush();
    for (std::size_t i = 0; i < cells.size(); ++i) {
        out_ += i == 0 ? "" : ",";
        out_ += cells[i];
    }
    pending_ = lineEnd_;
}

std::string CsvRewriter::finish() {
    const bool ended = old_.bytes.ends_with('\n') || old_.bytes.ends_with('\r');
    gapBefore(old_.rows.size());
    if (ended) {
        flush();
    }
    return std::move(out_);
}

}  // namespace aftercurve
