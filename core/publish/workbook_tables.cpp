#include "core/publish/workbook_tables.h"

#include <algorithm>
#include <set>
#include <vector>

#include "core/base/caution.h"
#include "core/publish/clean_text.h"
#include "core/publish/printed_number.h"
#include "core/publish/workbook_file.h"

namespace aftercurve {

namespace {

std::string lowered(std::string text) {
    for (char& c : text) {
        c = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    }
    return text;
}

/// At most `bytes` of the text, whole characters only.
std::string cut(std::string text, std::size_t bytes) {
    std::size_t end = std::min(text.size(), bytes);
    while (end > 0 && end < text.size() && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U) {
        --end;
    }
    text.resize(end);
    return text;
}

/// Names of sheets: the keys, without what the format forbids in them, each once.
std::vector<std::string> sheetNames(std::span<const Table> tables) {
    std::set<std::string> taken = {"notes", "history", ""};
    std::vector<std::string> names;
    for (const Table& table : tables) {
        std::string stem = cleanText(table.key);
        for (char& c : stem) {
            c = std::string_view{"[]:*?/\\'"}.find(c) == std::string_view::npos ? c : '_';
        }
        std::string name = cut(stem, longestSheetName);
        for (std::size_t i = 2; taken.contains(lowered(name)); ++i) {
            const std::string ending = "-" + std::to_string(i);
            name = cut(stem.empty() ? "table" : stem, longestSheetName - ending.size()) + ending;
        }
        taken.insert(lowered(name));
        names.push_back(std::move(name));
    }
    return names;
}

std::string fixedFormat(int decimals) {
    return decimals <= 0 ? "0" : "0." + std::string(static_cast<std::size_t>(decimals), '0');
}

std::string formatOf(double value, const Column& column, PrintedDecimals decimals) {
    if (column.kind == ColumnKind::pValue) {
        return "[<0.001]\"< 0.001\";[>0.999]\"> 0.999\";0.000";
    }
    return printedAsPower(value, decimals) ? "0.0E+00" : fixedFormat(decimalsShowing(value, decimals));
}

std::string headerOf(const Column& column) {
    return column.unit.empty() ? column.title : column.title + " (" + column.unit + ")";
}

SheetStyle headerStyle() {
    SheetStyle style;
    style.bold = true;
    return style;
}

void addCell(WorkbookSheet& sheet, const Cell& cell, const Column& column, PrintedDecimals decimals,
             bool muted) {
    SheetStyle style;
    style.muted = muted;
    if (const auto* text = std::get_if<std::string>(&cell)) {
        sheet.addText(*text, style);
    } else if (const auto* count = std::get_if<std::int64_t>(&cell)) {
        style.format = "0";
        sheet.addCount(*count, style);
    } else if (const auto* number = std::get_if<double>(&cell)) {
        style.format = formatOf(*number, column, decimals);
        sheet.addNumber(*number, style);
    } else {
        sheet.skipCell();
    }
}

void fill(WorkbookSheet& sheet, const Table& table) {
    sheet.beginRow();
    for (const Column& column : table.columns) {
        sheet.addText(headerOf(column), headerStyle());
    }
    const auto decimals = printedDecimals(table);
    for (std::size_t r = 0; r < table.rows.size(); ++r) {
        const Row& row = table.rows[r];
        sheet.beginRow();
        for (std::size_t c = 0; c < std::min(row.cells.size(), table.columns.size()); ++c) {
            addCell(sheet, row.cells[c], table.columns[c], decimals[r][c], row.muted);
        }
    }
    sheet.finish();
}

/// The sheet that explains the others.
class NotesSheet {
  public:
    explicit NotesSheet(WorkbookSheet& sheet) : sheet_(sheet) {
        sheet_.beginRow();
        for (const char* title : {"Sheet", "What", "Text"}) {
            sheet_.addText(title, headerStyle());
        }
    }

    void add(std::string_view sheet, std::string_view what, std::string_view text) {
        sheet_.beginRow();
        sheet_.addText(sheet, {});
        sheet_.addText(what, {});
        SheetStyle wrapped;
        wrapped.wrapped = true;
        sheet_.addText(text, wrapped);
    }

    void addPublication(const Publication& publication) {
        if (!publication.title.empty()) {
            add("", "Study", publication.title);
        }
        add("", "Caution", cautionText());
        add("", "Program", softwareText());
        if (!publication.planSha256.empty()) {
            add("", "Plan, SHA-256", publication.planSha256);
        }
    }

    void addTable(const Table& table, std::string_view name, std::size_t shortened) {
        add(name, "Title", table.title);
        if (table.rows.empty()) {
            add(name, "No rows", table.emptyText);
        }
        for (const std::string& note : table.notes) {
            add(name, "Note", note);
        }
        if (std::any_of(table.rows.begin(), table.rows.end(), [](const Row& row) { return row.muted; })) {
            add(name, "Note", "Rows in grey are excluded or not estimable.");
        }
        if (shortened > 0) {
            add(name, "Note",
                std::to_string(shortened) + " texts longer than " + std::to_string(longestSheetText) +
                    " characters are shortened; the CSV file has them whole.");
        }
        for (const Column& column : table.columns) {
            if (!column.explanation.empty()) {
                add(name, "Column " + headerOf(column), column.explanation);
            }
        }
    }

  private:
    WorkbookSheet& sheet_;
};

Problem tooLarge(const Table& table, const std::string& what) {
    Problem problem;
    problem.what = "the table " + table.key + " has more " + what + " a sheet of a workbook holds";
    problem.remedy = "write it as CSV";
    return problem;
}

Result<Done> checkedSizes(std::span<const Table> tables) {
    for (const Table& table : tables) {
        if (table.rows.size() >= mostSheetRows) {
            return tooLarge(table, "rows than the " + std::to_string(mostSheetRows) + " that");
        }
        if (table.columns.size() > mostSheetColumns) {
            return tooLarge(table, "columns than the " + std::to_string(mostSheetColumns) + " that");
        }
    }
    return Done{};
}

}  // namespace

Result<std::string> workbookTables(std::span<const Table> tables, const Publication& publication) {
    if (auto fault = checkedSizes(tables); !fault) {
        return fault.problem();
    }
    auto made = WorkbookFile::create(publication);
    if (!made) {
        return made.problem();
    }
    WorkbookFile& file = *made.value();
    const std::vector<std::string> names = sheetNames(tables);
    std::vector<std::size_t> shortened;
    for (std::size_t i = 0; i < tables.size(); ++i) {
        WorkbookSheet& sheet = file.addSheet(names[i]);
        fill(sheet, tables[i]);
        shortened.push_back(sheet.shortened());
    }
    WorkbookSheet& last = file.addSheet("notes");
    NotesSheet notes(last);
    notes.addPublication(publication);
    for (std::size_t i = 0; i < tables.size(); ++i) {
        notes.addTable(tables[i], names[i], shortened[i]);
    }
    last.finish();
    return file.bytes();
}

}  // namespace aftercurve
