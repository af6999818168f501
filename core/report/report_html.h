#pragma once

#include <string>
#include <vector>

#include "core/report/report_document.h"

namespace aftercurve {

/// The picture of one figure.
struct ReportPicture {
    std::string svg;      ///< text of an SVG file; empty: there is none
    std::string missing;  ///< why there is none
};

/// The report as one self-contained page: HTML 5 that is well-formed XML too, without script, with nothing
/// fetched from elsewhere. `pictures`: by the position that ReportFigure::spec names; a figure without one
/// says so. All text is cleaned and escaped. Sentences lead to the rows of the tables that they rest on. The
/// same arguments give the same bytes.
std::string reportHtml(const ReportDocument& document, const std::vector<ReportPicture>& pictures);

}  // namespace aftercurve
