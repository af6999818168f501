#pragma once

#include <map>
#include <string>
#include <vector>

#include "core/report/report_document.h"

namespace aftercurve {

/// Where a table stands in a report.
struct TablePlace {
    std::size_t number = 0;  ///< of the table, from 1
    std::size_t rows = 0;    ///< shown
};

/// The tables of a report by key.
std::map<std::string, TablePlace> tablePlaces(const ReportDocument& document);

/// One pointer from a sentence to the rows it rests on, within one table.
struct SentenceLink {
    std::string text;     ///< "Table 4, rows 1 and 2"
    std::string table;    ///< key
    std::size_t row = 0;  ///< the first of the rows, from 0
    bool hasRow = false;  ///< false: the table as a whole
};

/// The pointers of a sentence, a table once, in the order of its sources. A table that the report does not
/// show has none; rows that were cut from it, and more than four rows, are pointed to as the whole table.
std::vector<SentenceLink> linksOf(const Sentence& sentence, const std::map<std::string, TablePlace>& places);

}  // namespace aftercurve
