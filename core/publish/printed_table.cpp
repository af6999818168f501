#include "core/publish/printed_table.h"

#include <algorithm>
#include <array>
#include <optional>
#include <string_view>

#include "core/publish/clean_text.h"
#include "core/publish/printed_number.h"

namespace aftercurve {

namespace {

constexpr std::string_view absentNumber = "–";
constexpr std::string_view dagger = "†";

template <class... Visitors>
struct Overloaded : Visitors... {
    using Visitors::operator()...;
};
template <class... Visitors>
Overloaded(Visitors...) -> Overloaded<Visitors...>;

bool isAbsent(const Row& row, std::size_t column) {
    if (column >= row.cells.size()) {
        return true;
    }
    const Cell& cell = row.cells[column];
    const auto* text = std::get_if<std::string>(&cell);
    return std::holds_alternative<std::monostate>(cell) || (text != nullptr && text->empty());
}

bool isNumeric(const Column& column) {
    return column.kind != ColumnKind::text;
}

std::optional<std::size_t> remarkColumn(const Table& table) {
    for (std::size_t c = 0; c < table.columns.size(); ++c) {
        const Column& column = table.columns[c];
        if (!isNumeric(column) && (column.key == "remark" || column.key.ends_with("_because"))) {
            return c;
        }
    }
    return std::nullopt;
}

std::string numberText(double value, const Column& column, PrintedDecimals decimals) {
    return column.kind == ColumnKind::pValue ? printedP(value) : printedNumber(value, decimals);
}

std::string countText(std::int64_t count) {
    std::string text = std::to_string(count);
    if (text.starts_with('-')) {
        text.replace(0, 1, "\u2212");
    }
    return text;
}

std::string textOf(const Row& row, std::size_t c, const Column& column, PrintedDecimals decimals) {
    if (isAbsent(row, c)) {
        return std::string{isNumeric(column) ? absentNumber : std::string_view{}};
    }
    return std::visit(Overloaded{[](std::monostate) { return std::string{}; },
                                 [](const std::string& text) { return cleanText(text); },
                                 [](std::int64_t count) { return countText(count); },
                                 [&](double value) { return numberText(value, column, decimals); }},
                      row.cells[c]);
}

/// The remarks that say why numbers are absent, each once, in the order of the rows.
std::vector<std::string> remarksOf(const Table& table, const std::vector<std::size_t>& shown,
                                   std::size_t remark) {
    std::vector<std::string> remarks;
    for (const Row& row : table.rows) {
        const bool lacks = std::any_of(shown.begin(), shown.end(), [&](std::size_t c) {
            return isNumeric(table.columns[c]) && isAbsent(row, c);
        });
        const auto* text = isAbsent(row, remark) ? nullptr : std::get_if<std::string>(&row.cells[remark]);
        if (lacks && text != nullptr && std::find(remarks.begin(), remarks.end(), *text) == remarks.end()) {
            remarks.push_back(*text);
        }
    }
    return remarks;
}

std::string markOf(std::size_t index) {
    return {static_cast<char>('a' + static_cast<int>(index))};
}

/// Notes that stand at cells, and the marks of each row.
class Marks {
  public:
    Marks(const Table& table, const std::vector<std::size_t>& shown) : remark_(remarkColumn(table)) {
        if (remark_) {
            remarks_ = remarksOf(table, shown, *remark_);
            tooMany_ = remarks_.size() > mostMarkedRemarks;
        }
    }

    std::string markIn(const Row& row) const {
        if (!remark_ || tooMany_ || isAbsent(row, *remark_)) {
            return {};
        }
        const auto found =
            std::find(remarks_.begin(), remarks_.end(), std::get<std::string>(row.cells[*remark_]));
        return found == remarks_.end() ? std::string{}
                                       : markOf(static_cast<std::size_t>(found - remarks_.begin()));
    }

    void addNotes(const Table& table, std::vector<PrintedNote>& notes) const {
        if (tooMany_) {
            notes.push_back({"", "Where a number is absent (–), the column “" +
                                     cleanText(table.columns[*remark_].title) +
                                     "” has the remark of its row."});
            return;
        }
        for (std::size_t i = 0; i < remarks_.size(); ++i) {
            notes.push_back({markOf(i), "Absent; remark of the row: " + cleanText(remarks_[i])});
        }
    }

  private:
    std::optional<std::size_t> remark_;
    std::vector<std::string> remarks_;
    bool tooMany_ = false;
};

std::string headerOf(const Column& column) {
    return cleanText(column.unit.empty() ? column.title : column.title + " (" + column.unit + ")");
}

/// Columns of a table that print as one, in the order of the text.
using Joined = std::vector<std::size_t>;

/// Keys that stand side by side and print as "5.3 ± 0.4", "5.2 [5.0 to 5.6]", "4.9 to 6.0".
const std::array<std::vector<std::string_view>, 3> joinedKeys = {
    {{"mean", "sd"}, {"median", "lower_quartile", "upper_quartile"}, {"minimum", "maximum"}}};

Joined joinedAt(const Table& table, const std::vector<std::size_t>& shown, std::size_t place) {
    for (const auto& keys : joinedKeys) {
        Joined joined;
        for (std::size_t i = 0; i < keys.size() && place + i < shown.size(); ++i) {
            const Column& column = table.columns[shown[place + i]];
            if (column.key == keys[i] && column.kind == ColumnKind::number &&
                column.unit == table.columns[shown[place]].unit) {
                joined.push_back(shown[place + i]);
            }
        }
        if (joined.size() == keys.size()) {
            return joined;
        }
    }
    return {shown[place]};
}

std::vector<Joined> joinedColumns(const Table& table, const std::vector<std::size_t>& shown) {
    std::vector<Joined> all;
    for (std::size_t place = 0; place < shown.size(); place += all.back().size()) {
        all.push_back(joinedAt(table, shown, place));
    }
    return all;
}

/// The parts as one text: "a", "a ± b", "a to b", "a [b to c]".
std::string joinedText(const Table& table, const Joined& joined, const std::vector<std::string>& parts) {
    if (joined.size() == 1) {
        return parts[0];
    }
    if (joined.size() == 3) {
        return parts[0] + " [" + parts[1] + " to " + parts[2] + "]";
    }
    return parts[0] + (table.columns[joined[0]].key == "mean" ? " ± " : " to ") + parts[1];
}

PrintedColumn columnOf(const Table& table, const Joined& joined) {
    Column column = table.columns[joined.front()];
    std::vector<std::string> titles;
    std::string explanation;
    for (const std::size_t c : joined) {
        const Column& part = table.columns[c];
        titles.push_back(part.title);
        if (!part.explanation.empty() && explanation.find(part.explanation) == std::string::npos) {
            explanation += (explanation.empty() ? "" : "; ") + part.explanation;
        }
    }
    column.title = joinedText(table, joined, titles);
    return {headerOf(column), cleanText(explanation), isNumeric(column), 0};
}

}  // namespace

PrintedTable printedTable(const Table& table) {
    PrintedTable printed;
    printed.key = cleanText(table.key);
    printed.title = cleanText(table.title);
    printed.emptyText = cleanText(table.emptyText);
    std::vector<std::size_t> shown;
    std::string leftOut;
    for (std::size_t c = 0; c < table.columns.size(); ++c) {
        const Column& column = table.columns[c];
        const bool any = std::any_of(table.rows.begin(), table.rows.end(),
                                     [c](const Row& row) { return !isAbsent(row, c); });
        if (table.rows.empty() || any) {
            shown.push_back(c);
        } else {
            leftOut += (leftOut.empty() ? "" : ", ") + headerOf(column);
        }
    }
    const std::vector<Joined> all = joinedColumns(table, shown);
    for (const Joined& joined : all) {
        printed.columns.push_back(columnOf(table, joined));
    }
    const Marks marks(table, shown);
    const auto decimals = printedDecimals(table);
    bool anyMuted = false;
    for (std::size_t r = 0; r < table.rows.size(); ++r) {
        const Row& row = table.rows[r];
        PrintedRow line;
        line.muted = row.muted;
        anyMuted = anyMuted || row.muted;
        const std::string mark = marks.markIn(row);
        for (const Joined& joined : all) {
            std::vector<std::string> parts;
            for (const std::size_t c : joined) {
                parts.push_back(textOf(row, c, table.columns[c], decimals[r][c]));
            }
            // Without the first there is nothing to add the others to.
            const bool absent = isAbsent(row, joined.front());
            PrintedCell cell{absent ? parts[0] : joinedText(table, joined, parts), {}};
            if (std::any_of(joined.begin(), joined.end(),
                            [&](std::size_t c) { return isNumeric(table.columns[c]) && isAbsent(row, c); })) {
                cell.mark = mark;
            }
            std::size_t& letters = printed.columns[line.cells.size()].letters;
            letters = std::max(letters, lettersIn(cell.text));
            line.cells.push_back(std::move(cell));
        }
        if (row.muted && !line.cells.empty()) {
            line.cells.front().mark.insert(0, dagger);
        }
        printed.rows.push_back(std::move(line));
    }
    if (anyMuted) {
        printed.notes.push_back({std::string{dagger}, "Excluded or not estimable."});
    }
    marks.addNotes(table, printed.notes);
    for (const std::string& note : table.notes) {
        printed.notes.push_back({"", cleanText(note)});
    }
    if (!leftOut.empty()) {
        printed.notes.push_back({"", "Columns without a value, left out: " + leftOut + "."});
    }
    return printed;
}

}  // namespace aftercurve
