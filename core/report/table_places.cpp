#include "core/report/table_places.h"

#include <algorithm>

namespace aftercurve {

namespace {

constexpr std::size_t mostNamedRows = 4;

/// "row 3", "rows 1 and 2", "rows 1, 2 and 4"; counted from 1.
std::string rowWords(const std::vector<std::size_t>& rows) {
    std::string text = rows.size() == 1 ? "row " : "rows ";
    for (std::size_t i = 0; i < rows.size(); ++i) {
        text += i == 0 ? "" : i + 1 == rows.size() ? " and " : ", ";
        text += std::to_string(rows[i] + 1);
    }
    return text;
}

}  // namespace

std::map<std::string, TablePlace> tablePlaces(const ReportDocument& document) {
    std::map<std::string, TablePlace> places;
    for (const ReportSection& section : document.sections) {
        for (const ReportBlock& block : section.blocks) {
            if (const auto* table = std::get_if<ReportTable>(&block)) {
                places[table->printed.key] = {table->number, table->printed.rows.size()};
            }
        }
    }
    return places;
}

std::vector<SentenceLink> linksOf(const Sentence& sentence, const std::map<std::string, TablePlace>& places) {
    std::vector<std::string> tables;
    std::map<std::string, std::vector<std::size_t>> rows;
    for (const SentenceSource& source : sentence.sources) {
        if (!places.contains(source.table)) {
            continue;
        }
        if (!rows.contains(source.table)) {
            tables.push_back(source.table);
        }
        std::vector<std::size_t>& named = rows[source.table];
        if (std::find(named.begin(), named.end(), source.row) == named.end()) {
            named.push_back(source.row);
        }
    }
    std::vector<SentenceLink> links;
    for (const std::string& table : tables) {
        std::vector<std::size_t>& named = rows[table];
        std::sort(named.begin(), named.end());
        const TablePlace& place = places.at(table);
        SentenceLink link;
        link.text = "Table " + std::to_string(place.number);
        link.table = table;
        link.hasRow = named.size() <= mostNamedRows && named.back() < place.rows;
        if (link.hasRow) {
            link.row = named.front();
            link.text += ", " + rowWords(named);
        }
        links.push_back(std::move(link));
    }
    return links;
}

}  // namespace aftercurve
