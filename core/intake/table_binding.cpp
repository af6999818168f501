#include "core/intake/table_binding.h"

#include <algorithm>

#include "core/files/excerpt.h"
#include "core/files/problem_list.h"
#include "core/intake/fold_text.h"
#include "core/intake/time_text.h"

namespace aftercurve {

namespace {

std::string cellAt(const std::vector<std::string>& cells, std::size_t column) {
    return column < cells.size() ? cells[column] : std::string{};
}

}  // namespace

std::string cleanHeader(std::string_view text) {
    std::string oneLine{stripped(text)};
    std::replace_if(
        oneLine.begin(), oneLine.end(), [](char c) { return c == '\n' || c == '\r' || c == '\t'; }, ' ');
    return printable(oneLine);
}

TableHead headOf(const std::vector<std::string>& upper, const std::vector<std::string>& lower, bool twoRows) {
    TableHead head;
    const std::size_t width = std::max(lower.size(), twoRows ? upper.size() : 0);
    std::string common;
    for (std::size_t c = 0; c < width; ++c) {
        const std::string below = cleanHeader(cellAt(lower, c));
        std::string above;
        if (twoRows) {
            above = cleanHeader(cellAt(upper, c));
            if (!above.empty()) {
                common = above;
            } else if (minutesFrom(below)) {
                above = common;
            } else {
                common.clear();
            }
            if (above == below) {
                above.clear();
            }
        }
        head.headers.push_back(above.empty() ? below : below.empty() ? above : above + " / " + below);
        head.lower.push_back(below);
        if (twoRows) {
            head.upper.push_back(above);
        }
    }
    return head;
}

bool repeatsHeader(const std::vector<std::string>& lower, std::span<const RawCell> cells) {
    std::size_t same = 0;
    for (std::size_t c = 0; c < std::max(lower.size(), cells.size()); ++c) {
        const std::string_view text = c < cells.size() ? stripped(cells[c].text) : std::string_view{};
        const std::string_view header = c < lower.size() ? std::string_view{lower[c]} : std::string_view{};
        // The first characters tell almost every row of data without a copy.
        if (text.empty() != header.empty() ||
            (!text.empty() && (text.front() != header.front() || cleanHeader(text) != header))) {
            return false;
        }
        same += text.empty() ? 0U : 1U;
    }
    return same >= 2;
}

Result<TableHead> readHead(const InputTable& table, const TableMapping& how) {
    if (how.headerRow == 0) {
        return TableHead{};
    }
    std::vector<std::string> upper;
    std::vector<std::string> lower;
    const auto take = [](std::vector<std::string>& to, std::span<const RawCell> cells) {
        to.clear();
        for (const RawCell& cell : cells) {
            to.emplace_back(cell.text);
        }
    };
    const auto done = table.visit(how.dialect,
                                  [&](std::size_t row, std::span<const RawCell> cells) {
                                      if (row == how.headerRow) {
                                          take(lower, cells);
                                      } else if (row < how.headerRow) {
                                          take(upper, cells);
                                      }
                                      return row < how.headerRow ? Visit::goOn : Visit::stop;
                                  },
                                  {});
    if (!done) {
        return done.problem();
    }
    if (lower.empty()) {
        return problemAt(
            nameOf(table), how.headerRow, {}, "there is no header in this row",
            "set header_row of the table in the mapping to the row with the column names, or to 0");
    }
    return headOf(upper, lower, how.headerRows == 2);
}

Binding bind(const TableHead& head, const TableMapping& how) {
    Binding binding;
    binding.header = head.lower;
    std::vector<bool> taken(head.headers.size(), false);
    const auto place = [&](const ColumnMapping& column) -> std::optional<std::size_t> {
        const std::size_t position = column.column - 1;
        if (how.headerRow == 0) {
            return position;
        }
        const auto free = [&](std::size_t c) { return c < taken.size() && !taken[c]; };
        if (column.header.empty()) {
            return free(position) ? std::optional{position} : std::nullopt;
        }
        if (free(position) && head.headers[position] == column.header) {
            return position;
        }
        for (std::size_t c = 0; c < head.headers.size(); ++c) {
            if (free(c) && head.headers[c] == column.header) {
                return c;
            }
        }
        return std::nullopt;
    };
    for (const ColumnMapping& column : how.columns) {
        const auto index = place(column);
        if (!index) {
            if (column.role != ColumnRole::ignore) {
                binding.missing.push_back(column);
            }
            continue;
        }
        if (*index < taken.size()) {
            taken[*index] = true;
        }
        if (column.role != ColumnRole::ignore) {
            binding.columns.push_back({*index, column});
        }
    }
    for (std::size_t c = 0; c < taken.size(); ++c) {
        if (taken[c] || head.headers[c].empty()) {
            continue;
        }
        if (how.layout == Layout::wideBySubject && how.othersAreSubjects) {
            ColumnMapping column;
            column.column = c + 1;
            column.header = head.headers[c];
            column.role = ColumnRole::analyte;
            column.subject = head.lower[c].empty() ? head.headers[c] : head.lower[c];
            binding.columns.push_back({c, column});
        } else {
            binding.unlisted.push_back(c);
        }
    }
    std::stable_sort(binding.columns.begin(), binding.columns.end(),
                     [](const BoundColumn& a, const BoundColumn& b) { return a.index < b.index; });
    return binding;
}

std::vector<std::optional<std::size_t>> entriesFor(const Mapping& mapping,
                                                   std::span<const InputTable> tables) {
    std::vector<std::optional<std::size_t>> entries;
    for (const InputTable& table : tables) {
        const auto found =
            std::find_if(mapping.tables.begin(), mapping.tables.end(), [&](const TableMapping& entry) {
                return (entry.source == 0 || entry.source == table.source) &&
                       (entry.sheet.empty() || fitsPattern(table.sheet, entry.sheet));
            });
        entries.push_back(found == mapping.tables.end()
                              ? std::nullopt
                              : std::optional{static_cast<std::size_t>(found - mapping.tables.begin())});
    }
    return entries;
}

std::string nameOf(const ColumnMapping& column) {
    const std::string position = "column " + std::to_string(column.column);
    return column.header.empty() ? position : position + " " + quote(column.header);
}

std::string originText(const InputTable& table, Origin origin) {
    if (origin == Origin::sheet) {
        return std::string{stripped(table.sheet)};
    }
    if (origin == Origin::file) {
        const std::size_t dot = table.file.rfind('.');
        return std::string{stripped(dot == 0 ? table.file : table.file.substr(0, dot))};
    }
    return {};
}

}  // namespace aftercurve
