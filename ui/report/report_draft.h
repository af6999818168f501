#pragma once

#include <string>
#include <vector>

#include "core/report/report_html.h"
#include "ui/report/report_pdf.h"

namespace aftercurve {

/// What is asked of a report.
struct ReportRequest {
    bool html = true;
    bool pdf = true;
    bool figures = true;
    ReportOptions options;
};

/// A report on its way: what may be done on a worker is done first, then what needs the thread of the
/// QApplication.
struct ReportDraft {
    ReportRequest request;
    std::vector<FigureSpec> figures;
    ReportDocument document;
    std::vector<ReportPage> pages;        ///< where a PDF is asked for
    std::vector<ReportPicture> pictures;  ///< of `figures`, where HTML is asked for
    QByteArray pdf;
};

struct ReportFile {
    std::string name;  ///< "report.html", "report.pdf"
    std::string bytes;
};

/// Document and pages. May run on a worker. Fails where the options cannot be used, or nothing is asked for.
Result<ReportDraft> draftReport(const Study& study, const Findings& findings, const ReportRequest& request);

/// Draws what the draft has not yet: the pictures of the page, and the PDF. On the thread of the QApplication
/// only. `progress` is asked between two figures and two pages; stopped, it fails with "cancelled".
Result<Done> drawReport(ReportDraft& draft, const Study& study, const Findings& findings,
                        const Progress& progress = {});

/// The files that were asked for. May run on a worker.
std::vector<ReportFile> reportFiles(const ReportDraft& draft);

/// All of it, on the thread of the QApplication.
Result<std::vector<ReportFile>> makeReport(const Study& study, const Findings& findings,
                                           const ReportRequest& request, const Progress& progress = {});

}  // namespace aftercurve
