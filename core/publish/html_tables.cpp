#include "core/publish/html_tables.h"

#include "core/base/caution.h"
#include "core/base/html_text.h"
#include "core/files/csv_cell.h"
#include "core/publish/clean_text.h"
#include "core/publish/printed_table.h"

namespace aftercurve {

namespace {

// Styles stand at the elements, since a word processor reads no style sheet from the clipboard.
constexpr std::string_view tableStyle =
    " style=\"border-collapse:collapse;border-top:2px solid;border-bottom:2px solid\"";
constexpr std::string_view headStyle = "border-bottom:1px solid;padding:2px 8px;text-align:";
constexpr std::string_view cellStyle = "padding:2px 8px;text-align:";

std::string styled(std::string_view style, bool numeric) {
    return " style=\"" + std::string{style} + (numeric ? "right\"" : "left\"");
}

/// For spreadsheets that take HTML from the clipboard: a text that one might run is a text.
std::string_view guard(const PrintedCell& cell) {
    return spreadsheetWouldRun(cell.text) ? "mso-number-format:'\\@';" : "";
}

std::string raised(const std::string& mark) {
    return mark.empty() ? std::string{} : "<sup>" + htmlEscaped(mark) + "</sup>";
}

std::string headOf(const PrintedTable& table) {
    std::string html = "<thead>\n<tr>";
    for (const PrintedColumn& column : table.columns) {
        html += "<th scope=\"col\"" + styled(headStyle, column.numeric);
        if (!column.explanation.empty()) {
            html += " title=\"" + htmlEscaped(column.explanation) + "\"";
        }
        html += ">" + htmlEscaped(column.header) + "</th>";
    }
    return html + "</tr>\n</thead>\n";
}

std::string bodyOf(const PrintedTable& table) {
    std::string html = "<tbody>\n";
    for (const PrintedRow& row : table.rows) {
        html += "<tr>";
        for (std::size_t c = 0; c < row.cells.size(); ++c) {
            const std::string style = std::string{guard(row.cells[c])} + std::string{cellStyle};
            const bool names = c == 0 && !table.columns[c].numeric;
            html += names ? "<th scope=\"row\"" + styled("font-weight:normal;" + style, false)
                          : "<td" + styled(style, table.columns[c].numeric);
            html += ">" + htmlEscaped(row.cells[c].text) + raised(row.cells[c].mark);
            html += names ? "</th>" : "</td>";
        }
        html += "</tr>\n";
    }
    return html + "</tbody>\n";
}

std::string fragmentOf(const PrintedTable& table) {
    std::string html = "<table" + std::string{tableStyle} + ">\n<caption>" + htmlEscaped(table.title) +
                       "</caption>\n" + headOf(table) + bodyOf(table) + "</table>\n";
    if (table.rows.empty()) {
        html += "<p>" + htmlEscaped(table.emptyText) + "</p>\n";
    }
    for (const PrintedNote& note : table.notes) {
        html +=
            "<p>" + raised(note.mark) + (note.mark.empty() ? "" : " ") + htmlEscaped(note.text) + "</p>\n";
    }
    return html;
}

std::string explanationsOf(const PrintedTable& table) {
    std::string html;
    for (const PrintedColumn& column : table.columns) {
        if (!column.explanation.empty()) {
            html += "<dt>" + htmlEscaped(column.header) + "</dt><dd>" + htmlEscaped(column.explanation) +
                    "</dd>\n";
        }
    }
    return html.empty() ? html : "<dl>\n" + html + "</dl>\n";
}

}  // namespace

std::string htmlFragment(const Table& table) {
    return fragmentOf(printedTable(table));
}

std::string htmlTables(std::span<const Table> tables, const Publication& publication) {
    const std::string title =
        publication.title.empty() ? std::string{"Tables"} : htmlEscaped(cleanText(publication.title));
    std::string html =
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<title>" + title +
        "</title>\n<meta name=\"generator\" content=\"" + htmlEscaped(softwareText()) +
        "\">\n<style>\nbody { font-family: sans-serif; margin: 2em; }\ntable { margin-top: 2em; }\n"
        "caption { text-align: left; font-weight: bold; }\ntd { font-variant-numeric: tabular-nums; }\n"
        "dl { font-size: smaller; }\n</style>\n</head>\n<body>\n<h1>" +
        title + "</h1>\n<p>" + htmlEscaped(cautionText()) + "</p>\n";
    for (const Table& table : tables) {
        const PrintedTable printed = printedTable(table);
        html += "<section>\n" + fragmentOf(printed) + explanationsOf(printed) + "</section>\n";
    }
    html += "<p>" + htmlEscaped(softwareText());
    if (!publication.planSha256.empty()) {
        html += "; plan SHA-256 <code>" + htmlEscaped(publication.planSha256) + "</code>";
    }
    return html + "</p>\n</body>\n</html>\n";
}

}  // namespace aftercurve
