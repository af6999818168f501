#include "core/publish/table_formats.h"

#include <algorithm>
#include <array>

#include "core/publish/document_tables.h"
#include "core/publish/html_tables.h"
#include "core/publish/latex_tables.h"
#include "core/publish/markdown_tables.h"
#include "core/publish/workbook_tables.h"

namespace aftercurve {

namespace {

Result<std::string> csvBytes(std::span<const Table> tables, const Publication& /*publication*/) {
    return tables.empty() ? std::string{} : asCsv(tables.front());
}

Result<std::string> latexBytes(std::span<const Table> tables, const Publication& publication) {
    return latexTables(tables, publication);
}

Result<std::string> htmlBytes(std::span<const Table> tables, const Publication& publication) {
    return htmlTables(tables, publication);
}

Result<std::string> markdownBytes(std::span<const Table> tables, const Publication& publication) {
    return markdownTables(tables, publication);
}

constexpr std::array formats{
    TableFormat{"csv", false, csvBytes},      TableFormat{"xlsx", true, workbookTables},
    TableFormat{"odt", true, documentTables}, TableFormat{"tex", true, latexBytes},
    TableFormat{"html", true, htmlBytes},     TableFormat{"md", true, markdownBytes},
};

}  // namespace

std::span<const TableFormat> tableFormatList() {
    return formats;
}

const TableFormat* findTableFormat(std::string_view key) {
    const auto same = [](char a, char b) {
        const char small = a >= 'A' && a <= 'Z' ? static_cast<char>(a - 'A' + 'a') : a;
        return small == b;
    };
    const auto* found = std::find_if(formats.begin(), formats.end(), [&](const TableFormat& format) {
        return std::equal(key.begin(), key.end(), format.key.begin(), format.key.end(), same);
    });
    return found == formats.end() ? nullptr : found;
}

std::string tableFormatKeys() {
    std::string keys;
    for (const TableFormat& format : formats) {
        keys += (keys.empty() ? "" : ", ") + std::string{format.key};
    }
    return keys;
}

}  // namespace aftercurve
