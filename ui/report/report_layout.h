#pragma once

#include <vector>

#include "core/report/report_document.h"
#include "ui/report/report_page.h"

namespace aftercurve {

/// The pages of a report: title, caution and contents first, then the sections in order, with the title and
/// "page n of N" at the foot of each. Figures keep their caption and are made smaller where they do not fit a
/// page. Measures letters and paints nothing, so that it may run on a worker; the same document gives the
/// same pages.
std::vector<ReportPage> layOut(const ReportDocument& document);

}  // namespace aftercurve
