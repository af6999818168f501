#pragma once

#include "core/report/report_document.h"
#include "ui/report/page_flow.h"

namespace aftercurve {

/// Sets a table into the pages: its name, head, rows and notes. The head is repeated on every page; a row
/// stands on one page unless it is taller than one. Columns that do not fit side by side are set in smaller
/// letters, then in parts below each other that each repeat the columns which name the row; a note says so.
void placeTable(PageFlow& flow, const ReportTable& table);

}  // namespace aftercurve
