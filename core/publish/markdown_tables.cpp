#include "core/publish/markdown_tables.h"

#include "core/base/caution.h"
#include "core/publish/clean_text.h"
#include "core/publish/printed_table.h"

namespace aftercurve {

namespace {

std::string escaped(std::string_view text) {
    std::string markdown;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        if (c == '&') {
            markdown += "&amp;";
        } else if (c == '<') {
            markdown += "&lt;";
        } else if (c == '>') {
            markdown += "&gt;";
        } else {
            // A backslash before punctuation is always allowed (CommonMark 2.4). A colon only begins a link.
            if (std::string_view{"\\`*_[]|~$@"}.find(c) != std::string_view::npos ||
                text.substr(i).starts_with("://")) {
                markdown += '\\';
            }
            markdown += c;
        }
    }
    return markdown;
}

/// A text that begins a line or a list item: also what would make a list, a rule or a heading is escaped.
std::string escapedLine(std::string_view text) {
    const std::size_t digits = text.find_first_not_of("0123456789");
    std::string markdown = escaped(text);
    if (!text.empty() && std::string_view{"-+=#"}.find(text.front()) != std::string_view::npos) {
        return "\\" + markdown;
    }
    if (digits != 0 && digits != std::string_view::npos && text[digits] == '.') {
        markdown.insert(digits, "\\");
    }
    return markdown;
}

std::string cellOf(const PrintedCell& cell) {
    return escaped(cell.text) + (cell.mark.empty() ? "" : "<sup>" + escaped(cell.mark) + "</sup>");
}

std::string tableOf(const PrintedTable& table) {
    std::string text = "## " + escaped(table.title) + "\n\n";
    if (table.rows.empty() || table.columns.empty()) {
        text += escapedLine(table.emptyText) + "\n\n";
    } else {
        std::string head = "|";
        std::string rule = "|";
        for (const PrintedColumn& column : table.columns) {
            head += " " + escaped(column.header) + " |";
            rule += column.numeric ? " ---: |" : " :--- |";
        }
        text += head + "\n" + rule + "\n";
        for (const PrintedRow& row : table.rows) {
            text += "|";
            for (const PrintedCell& cell : row.cells) {
                text += " " + cellOf(cell) + " |";
            }
            text += "\n";
        }
        text += "\n";
    }
    for (const PrintedNote& note : table.notes) {
        text += note.mark.empty() ? "- " + escapedLine(note.text)
                                  : "- <sup>" + escaped(note.mark) + "</sup> " + escapedLine(note.text);
        text += "\n";
    }
    return text + (table.notes.empty() ? "" : "\n");
}

}  // namespace

std::string markdownTables(std::span<const Table> tables, const Publication& publication) {
    std::string text = "# ";
    text += publication.title.empty() ? std::string{"Tables"} : escaped(cleanText(publication.title));
    text += "\n\n" + escapedLine(cautionText()) + "\n\n";
    for (const Table& table : tables) {
        text += tableOf(printedTable(table));
    }
    text += escaped(softwareText());
    if (!publication.planSha256.empty()) {
        text += "; plan SHA-256 " + escaped(publication.planSha256);
    }
    return text + "\n";
}

}  // namespace aftercurve
