#include "core/findings/explain.h"

#include <algorithm>

#include "core/base/number_text.h"

namespace aftercurve {

namespace {

constexpr std::size_t mostValues = 2000;

std::string exactText(const Cell& cell) {
    if (const auto* number = std::get_if<double>(&cell)) {
        return plainNumber(*number);
    }
    if (const auto* count = std::get_if<std::int64_t>(&cell)) {
        return std::to_string(*count);
    }
    if (const auto* text = std::get_if<std::string>(&cell)) {
        return *text;
    }
    return "absent";
}

std::size_t columnIndex(const Table& table, std::string_view key) {
    const auto found = std::find_if(table.columns.begin(), table.columns.end(),
                                    [key](const Column& column) { return column.key == key; });
    return static_cast<std::size_t>(found - table.columns.begin());
}

std::string titleOf(const Column& column) {
    return column.unit.empty() ? column.title : column.title + " (" + column.unit + ")";
}

/// The texts of the row that say what it is about: the text cells before its first number.
std::string nameOf(const Table& table, const Row& row) {
    std::string name;
    for (std::size_t c = 0; c < row.cells.size() && table.columns[c].kind == ColumnKind::text; ++c) {
        if (const auto* text = std::get_if<std::string>(&row.cells[c])) {
            name += (name.empty() ? "" : ", ") + *text;
        }
    }
    return name;
}

bool isAboutTheSame(const RowSubject& row, const RowSubject& other) {
    return row.analyte == other.analyte && row.measure == other.measure && row.food == other.food &&
           (row.subject.empty() || row.subject == other.subject);
}

/// Whether the rows of the other table that count here are about a food as a whole.
bool isOfTheFood(const Table& other, const Row& asked) {
    bool any = false;
    for (const Row& row : other.rows) {
        if (isAboutTheSame(asked.about, row.about)) {
            if (!row.about.subject.empty()) {
                return false;
            }
            any = true;
        }
    }
    return any;
}

std::string valuesOf(const Table& other, std::size_t column, const Row& asked) {
    std::string text;
    std::size_t count = 0;
    // Rows that belong to the asked one by their key are meant where there are some: a pair of foods has
    // values of its own.
    const auto belongs = [&asked](const Row& row) { return row.key.starts_with(asked.key + "/"); };
    const bool byKey = std::any_of(other.rows.begin(), other.rows.end(), belongs);
    for (const Row& row : other.rows) {
        if (!isAboutTheSame(asked.about, row.about) || (byKey && !belongs(row))) {
            continue;
        }
        if (++count > mostValues) {
            continue;
        }
        text += "\n    " + (row.about.subject.empty() ? row.key : row.about.subject) + ": " +
                exactText(row.cells[column]);
    }
    if (count > mostValues) {
        text += "\n    and " + std::to_string(count - mostValues) + " more";
    }
    return text.empty() ? " none" : text;
}

std::string inputLine(const Table& table, const Row& row, const std::string& input, bool hasValue,
                      const std::function<const Table*(std::string_view)>& otherTable) {
    if (const std::size_t dot = input.find('.'); dot != std::string::npos) {
        const Table* other = otherTable(input.substr(0, dot));
        if (other == nullptr) {
            return {};
        }
        const std::size_t column = columnIndex(*other, input.substr(dot + 1));
        return "  " + other->columns[column].title + (isOfTheFood(*other, row) ? ":" : " of each subject:") +
               valuesOf(*other, column, row);
    }
    const std::size_t column = columnIndex(table, input);
    if (hasValue && std::holds_alternative<std::monostate>(row.cells[column])) {
        return {};  // the number of this row does not come from it
    }
    return "  " + titleOf(table.columns[column]) + " = " + exactText(row.cells[column]);
}

}  // namespace

std::string workingOf(const Table& table, std::size_t row, std::size_t column,
                      const std::function<const Table*(std::string_view key)>& otherTable) {
    const Row& chosen = table.rows[row];
    const Column& asked = table.columns[column];
    std::string text =
        titleOf(asked) + ": " + nameOf(table, chosen) + "\n= " + exactText(chosen.cells[column]);
    if (const std::size_t unit = columnIndex(table, "unit");
        unit < table.columns.size() && asked.kind == ColumnKind::number && asked.unit.empty() &&
        (asked.key.ends_with("difference") || asked.key.starts_with("ci_") || asked.key == "estimate" ||
         asked.key == "se" || asked.key.starts_with("hodges"))) {
        if (const auto* name = std::get_if<std::string>(&chosen.cells[unit])) {
            text += " " + *name;
        }
    }
    text += "\n";
    if (!asked.explanation.empty()) {
        text += "Formula: " + asked.explanation + "\n";
    }
    const bool hasValue = !std::holds_alternative<std::monostate>(chosen.cells[column]);
    if (!asked.inputs.empty()) {
        text += "From:\n";
        for (const std::string& input : asked.inputs) {
            const std::string line = inputLine(table, chosen, input, hasValue, otherTable);
            text += line.empty() ? line : line + "\n";
        }
    }
    for (const char* key : {"df", "num_df", "den_df"}) {
        const std::size_t df = columnIndex(table, key);
        const bool told = std::find(asked.inputs.begin(), asked.inputs.end(), key) != asked.inputs.end();
        if (df < table.columns.size() && df != column && !told && asked.kind != ColumnKind::text &&
            asked.kind != ColumnKind::integer && !std::holds_alternative<std::monostate>(chosen.cells[df])) {
            text +=
                "Degrees of freedom (" + table.columns[df].title + "): " + exactText(chosen.cells[df]) + "\n";
        }
    }
    const std::size_t remark = columnIndex(table, "remark");
    if (remark < table.columns.size() && !std::holds_alternative<std::monostate>(chosen.cells[remark])) {
        text += "Remark: " + exactText(chosen.cells[remark]) + "\n";
    }
    for (const std::string& note : table.notes) {
        text += "Note: " + note + "\n";
    }
    return text;
}

std::string rowInFull(const Table& table, std::size_t row) {
    std::string text;
    const Row& chosen = table.rows[row];
    for (std::size_t c = 0; c < chosen.cells.size(); ++c) {
        if (!std::holds_alternative<std::monostate>(chosen.cells[c])) {
            text += titleOf(table.columns[c]) + ": " + exactText(chosen.cells[c]) + "\n";
        }
    }
    for (const std::string& note : table.notes) {
        text += "Note: " + note + "\n";
    }
    return text;
}

}  // namespace aftercurve
