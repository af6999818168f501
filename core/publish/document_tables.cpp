#include "core/publish/document_tables.h"

#include <algorithm>
#include <pugixml.hpp>
#include <sstream>

#include "core/base/caution.h"
#include "core/publish/archive_bytes.h"
#include "core/publish/clean_text.h"
#include "core/publish/document_styles.h"
#include "core/publish/printed_table.h"

namespace aftercurve {

namespace {

constexpr const char* mediaType = "application/vnd.oasis.opendocument.text";
constexpr const char* xmlHead = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n";
constexpr std::size_t narrowest = 5;  ///< letters
constexpr std::size_t widest = 30;

struct XmlWriter final : pugi::xml_writer {
    std::string text;
    void write(const void* data, std::size_t size) override {
        text.append(static_cast<const char*>(data), size);
    }
};

std::string xmlOf(const pugi::xml_node& node) {
    XmlWriter writer;
    node.print(writer, "", pugi::format_raw | pugi::format_no_declaration, pugi::encoding_utf8);
    return std::move(writer.text);
}

pugi::xml_node addParagraph(pugi::xml_node& parent, const char* style, const std::string& text) {
    pugi::xml_node paragraph = parent.append_child("text:p");
    paragraph.append_attribute("text:style-name") = style;
    paragraph.append_child(pugi::node_pcdata).set_value(text.c_str());
    return paragraph;
}

void addRaised(pugi::xml_node& paragraph, const std::string& mark) {
    if (!mark.empty()) {
        pugi::xml_node span = paragraph.append_child("text:span");
        span.append_attribute("text:style-name") = "Raised";
        span.append_child(pugi::node_pcdata).set_value(mark.c_str());
    }
}

void addCell(pugi::xml_node& row, const char* style, bool numeric, const PrintedCell& content) {
    pugi::xml_node cell = row.append_child("table:table-cell");
    cell.append_attribute("table:style-name") = style;
    cell.append_attribute("office:value-type") = "string";
    pugi::xml_node paragraph =
        addParagraph(cell, numeric ? "Table_20_numbers" : "Table_20_words", content.text);
    addRaised(paragraph, content.mark);
}

pugi::xml_node addRow(pugi::xml_node& parent) {
    pugi::xml_node row = parent.append_child("table:table-row");
    row.append_attribute("table:style-name") = "Whole";
    return row;
}

/// "w12": a column whose share of the width is 12; one style a share.
std::string widthStyle(std::size_t letters) {
    return "w" + std::to_string(letters);
}

std::size_t shareOf(const PrintedColumn& column) {
    // A long header breaks at its blanks, so it counts by half.
    return std::clamp(std::max(column.letters, lettersIn(column.header) / 2), narrowest, widest);
}

void addGrid(pugi::xml_node& text, const PrintedTable& table, std::size_t number) {
    pugi::xml_node grid = text.append_child("table:table");
    grid.append_attribute("table:name") = ("Table " + std::to_string(number)).c_str();
    grid.append_attribute("table:style-name") = "Grid";
    for (const PrintedColumn& column : table.columns) {
        grid.append_child("table:table-column").append_attribute("table:style-name") =
            widthStyle(shareOf(column)).c_str();
    }
    pugi::xml_node header = grid.append_child("table:table-header-rows");
    pugi::xml_node headerRow = addRow(header);
    for (const PrintedColumn& column : table.columns) {
        addCell(headerRow, "Head", column.numeric, {column.header, {}});
    }
    for (std::size_t r = 0; r < table.rows.size(); ++r) {
        pugi::xml_node row = addRow(grid);
        const bool last = r + 1 == table.rows.size();
        for (std::size_t c = 0; c < table.columns.size(); ++c) {
            addCell(row, last ? "Foot" : "Body", table.columns[c].numeric, table.rows[r].cells[c]);
        }
    }
}

void addTable(pugi::xml_node& text, const PrintedTable& table, std::size_t number) {
    pugi::xml_node title = text.append_child("text:h");
    title.append_attribute("text:style-name") = "Table_20_title";
    title.append_attribute("text:outline-level") = "2";
    title.append_child(pugi::node_pcdata).set_value(table.title.c_str());
    if (table.rows.empty() || table.columns.empty()) {
        addParagraph(text, "Standard", table.emptyText);
    } else {
        addGrid(text, table, number);
    }
    for (const PrintedNote& note : table.notes) {
        pugi::xml_node paragraph = text.append_child("text:p");
        paragraph.append_attribute("text:style-name") = "Table_20_note";
        addRaised(paragraph, note.mark);
        const std::string words = (note.mark.empty() ? "" : " ") + note.text;
        paragraph.append_child(pugi::node_pcdata).set_value(words.c_str());
    }
}

std::string widthStyles() {
    std::string xml;
    for (std::size_t letters = narrowest; letters <= widest; ++letters) {
        xml += "<style:style style:name=\"" + widthStyle(letters) +
               "\" style:family=\"table-column\"><style:table-column-properties style:rel-column-width=\"" +
               std::to_string(letters * 100) + "*\"/></style:style>";
    }
    return xml;
}

std::string contentPart(const std::vector<PrintedTable>& tables, const Publication& publication) {
    pugi::xml_document document;
    pugi::xml_node body = document.append_child("office:body");
    pugi::xml_node text = body.append_child("office:text");
    const std::string title = cleanText(publication.title);
    addParagraph(text, "Title", title.empty() ? std::string{"Tables"} : title);
    addParagraph(text, "Standard", std::string{cautionText()});
    for (std::size_t i = 0; i < tables.size(); ++i) {
        addTable(text, tables[i], i + 1);
    }
    const std::string hash = cleanText(publication.planSha256);
    addParagraph(text, "Table_20_note", softwareText() + (hash.empty() ? "" : "; plan SHA-256 " + hash));
    return std::string{xmlHead} + "<office:document-content " + std::string{documentNamespaces} +
           "><office:automatic-styles>" + std::string{documentCellStyles} + widthStyles() +
           "</office:automatic-styles>" + xmlOf(body) + "</office:document-content>";
}

std::string stylesPart(bool landscape) {
    const std::string page = landscape ? "fo:page-width=\"297mm\" fo:page-height=\"210mm\" "
                                         "style:print-orientation=\"landscape\""
                                       : "fo:page-width=\"210mm\" fo:page-height=\"297mm\" "
                                         "style:print-orientation=\"portrait\"";
    return std::string{xmlHead} + "<office:document-styles " + std::string{documentNamespaces} +
           "><office:styles>" + std::string{documentStyles} +
           "</office:styles><office:automatic-styles><style:page-layout style:name=\"Page\">"
           "<style:page-layout-properties " +
           page +
           " fo:margin=\"20mm\"/></style:page-layout></office:automatic-styles><office:master-styles>"
           "<style:master-page style:name=\"Standard\" style:page-layout-name=\"Page\"/>"
           "</office:master-styles></office:document-styles>";
}

std::string metaPart(const Publication& publication) {
    pugi::xml_document document;
    pugi::xml_node meta = document.append_child("office:meta");
    meta.append_child("meta:generator").text().set(softwareText().c_str());
    meta.append_child("dc:title").text().set(cleanText(publication.title).c_str());
    meta.append_child("meta:creation-date").text().set(cleanText(publication.created).c_str());
    return std::string{xmlHead} + "<office:document-meta " + std::string{documentNamespaces} + ">" +
           xmlOf(meta) + "</office:document-meta>";
}

std::string manifestPart() {
    const auto entry = [](const std::string& path, const std::string& type) {
        return "<manifest:file-entry manifest:full-path=\"" + path + "\" manifest:media-type=\"" + type +
               "\"/>";
    };
    return std::string{xmlHead} +
           "<manifest:manifest xmlns:manifest=\"urn:oasis:names:tc:opendocument:xmlns:manifest:1.0\" "
           "manifest:version=\"1.3\">" +
           entry("/", mediaType) + entry("content.xml", "text/xml") + entry("styles.xml", "text/xml") +
           entry("meta.xml", "text/xml") + "</manifest:manifest>";
}

}  // namespace

Result<std::string> documentTables(std::span<const Table> tables, const Publication& publication) {
    std::vector<PrintedTable> printed;
    bool landscape = false;
    for (const Table& table : tables) {
        printed.push_back(printedTable(table));
        landscape = landscape || printed.back().columns.size() > widestDocumentPortrait;
    }
    const std::vector<ArchivePart> parts = {{"mimetype", mediaType, true},
                                            {"META-INF/manifest.xml", manifestPart()},
                                            {"content.xml", contentPart(printed, publication)},
                                            {"styles.xml", stylesPart(landscape)},
                                            {"meta.xml", metaPart(publication)}};
    return archiveBytes(parts);
}

}  // namespace aftercurve
