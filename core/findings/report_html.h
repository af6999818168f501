#pragma once

#include <string>
#include <vector>

#include "core/findings/findings.h"
#include "core/study/study.h"

namespace aftercurve {

/// One figure of the report: a title and the SVG text that is set into the page.
struct ReportFigure {
    std::string title;
    std::string svg;
};

/// The report as one self-contained HTML page without script: caution, what was found, figures, tables,
/// problems, plan, methods, inputs with SHA-256. All text from the study is escaped; the same arguments give
/// the same bytes.
std::string reportHtml(const Study& study, const Findings& findings,
                       const std::vector<ReportFigure>& figures);

}  // namespace aftercurve
