#include "core/publish/workbook_tables.h"

#include <algorithm>
#include <set>
#include <vector>

#include "core/base/caution.h"
#include "core/base/html_text.h"
#include "core/files/utf8.h"
#include "core/publish/archive_bytes.h"
#include "core/publish/clean_text.h"
#include "core/publish/printed_number.h"
#include "core/publish/workbook_part.h"

namespace aftercurve {

namespace {

constexpr const char* xmlHead = "<?xml version=\"1.0\" encoding=\"UTF-8\" standalone=\"yes\"?>\n";
constexpr const char* documentType = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
constexpr const char* packageType = "http://schemas.openxmlformats.org/package/2006/";

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

void addCell(SheetPart& sheet, const Cell& cell, const Column& column, PrintedDecimals decimals, bool muted) {
    SheetStyle style;
    style.muted = muted;
    if (const auto* text = std::get_if<std::string>(&cell); text != nullptr && !text->empty()) {
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

SheetPart sheetOf(const Table& table, SheetStyles& styles) {
    SheetPart sheet(styles);
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
    return sheet;
}

/// The sheet that explains the others.
class NotesSheet {
  public:
    explicit NotesSheet(SheetStyles& styles) : sheet_(styles) {
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

    std::string xml(bool selected) const { return sheet_.xml(selected); }

  private:
    SheetPart sheet_;
};

std::string relationship(std::size_t id, const std::string& type, const std::string& target) {
    return "<Relationship Id=\"rId" + std::to_string(id) + "\" Type=\"" + type + "\" Target=\"" + target +
           "\"/>";
}

std::string relationships(const std::string& entries) {
    return std::string{xmlHead} + "<Relationships xmlns=\"" + packageType + "relationships\">" + entries +
           "</Relationships>";
}

std::string contentTypes(std::size_t sheets) {
    const std::string kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.";
    const auto part = [](const std::string& name, const std::string& type) {
        return "<Override PartName=\"/" + name + "\" ContentType=\"" + type + "\"/>";
    };
    std::string xml = std::string{xmlHead} + "<Types xmlns=\"" + packageType +
                      "content-types\"><Default Extension=\"rels\" "
                      "ContentType=\"application/vnd.openxmlformats-package.relationships+xml\"/>"
                      "<Default Extension=\"xml\" ContentType=\"application/xml\"/>" +
                      part("xl/workbook.xml", kind + "sheet.main+xml") +
                      part("xl/styles.xml", kind + "styles+xml");
    for (std::size_t i = 1; i <= sheets; ++i) {
        xml += part("xl/worksheets/sheet" + std::to_string(i) + ".xml", kind + "worksheet+xml");
    }
    return xml + part("docProps/core.xml", "application/vnd.openxmlformats-package.core-properties+xml") +
           part("docProps/app.xml", "application/vnd.openxmlformats-officedocument.extended-properties+xml") +
           "</Types>";
}

std::string coreProperties(const Publication& publication) {
    const std::string created = "<dcterms:created xsi:type=\"dcterms:W3CDTF\">" +
                                htmlEscaped(cleanText(publication.created)) + "</dcterms:created>";
    return std::string{xmlHead} + "<cp:coreProperties xmlns:cp=\"" + packageType +
           "metadata/core-properties\" xmlns:dc=\"http://purl.org/dc/elements/1.1/\" "
           "xmlns:dcterms=\"http://purl.org/dc/terms/\" "
           "xmlns:xsi=\"http://www.w3.org/2001/XMLSchema-instance\"><dc:title>" +
           htmlEscaped(cleanText(publication.title)) + "</dc:title>" + created + "</cp:coreProperties>";
}

std::string workbookPart(const std::vector<std::string>& names) {
    std::string xml =
        std::string{xmlHead} +
        "<workbook xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\" xmlns:r=\"" +
        documentType + "\"><bookViews><workbookView/></bookViews><sheets>";
    for (std::size_t i = 0; i < names.size(); ++i) {
        const std::string position = std::to_string(i + 1);
        xml += "<sheet name=\"" + htmlEscaped(names[i]) + "\" sheetId=\"" + position + "\" r:id=\"rId" +
               position + "\"/>";
    }
    return xml + "</sheets></workbook>";
}

std::vector<ArchivePart> partsOf(const std::vector<std::string>& names, std::vector<std::string> sheets,
                                 const SheetStyles& styles, const Publication& publication) {
    const std::string type = documentType;
    std::string links;
    for (std::size_t i = 1; i <= sheets.size(); ++i) {
        links += relationship(i, type + "/worksheet", "worksheets/sheet" + std::to_string(i) + ".xml");
    }
    links += relationship(sheets.size() + 1, type + "/styles", "styles.xml");
    std::vector<ArchivePart> parts = {
        {"[Content_Types].xml", contentTypes(sheets.size())},
        {"_rels/.rels",
         relationships(relationship(1, type + "/officeDocument", "xl/workbook.xml") +
                       relationship(2, std::string{packageType} + "relationships/metadata/core-properties",
                                    "docProps/core.xml") +
                       relationship(3, type + "/extended-properties", "docProps/app.xml"))},
        {"docProps/core.xml", coreProperties(publication)},
        {"docProps/app.xml",
         std::string{xmlHead} +
             "<Properties "
             "xmlns=\"http://schemas.openxmlformats.org/officeDocument/2006/extended-properties\">"
             "<Application>Aftercurve</Application></Properties>"},
        {"xl/workbook.xml", workbookPart(names)},
        {"xl/_rels/workbook.xml.rels", relationships(links)},
        {"xl/styles.xml", styles.part()}};
    for (std::size_t i = 0; i < sheets.size(); ++i) {
        parts.push_back({"xl/worksheets/sheet" + std::to_string(i + 1) + ".xml", std::move(sheets[i])});
    }
    return parts;
}

Problem tooLarge(const Table& table, const std::string& what) {
    Problem problem;
    problem.what = "the table " + table.key + " has more " + what + " a sheet of a workbook holds";
    problem.remedy = "write it as CSV";
    return problem;
}

}  // namespace

Result<std::string> workbookTables(std::span<const Table> tables, const Publication& publication) {
    std::vector<std::string> names = sheetNames(tables);
    SheetStyles styles;
    NotesSheet notes(styles);
    if (!publication.title.empty()) {
        notes.add("", "Study", publication.title);
    }
    notes.add("", "Caution", cautionText());
    notes.add("", "Program", softwareText());
    if (!publication.planSha256.empty()) {
        notes.add("", "Plan, SHA-256", publication.planSha256);
    }
    std::vector<std::string> sheets;
    for (std::size_t i = 0; i < tables.size(); ++i) {
        const Table& table = tables[i];
        if (table.rows.size() >= mostSheetRows) {
            return tooLarge(table, "rows than the " + std::to_string(mostSheetRows) + " that");
        }
        if (table.columns.size() > mostSheetColumns) {
            return tooLarge(table, "columns than the " + std::to_string(mostSheetColumns) + " that");
        }
        const SheetPart sheet = sheetOf(table, styles);
        notes.addTable(table, names[i], sheet.shortened());
        sheets.push_back(sheet.xml(i == 0));
    }
    sheets.push_back(notes.xml(tables.empty()));
    names.emplace_back("notes");
    return archiveBytes(partsOf(names, std::move(sheets), styles, publication));
}

}  // namespace aftercurve
