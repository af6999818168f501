#pragma once

#include <QByteArray>
#include <vector>

#include "core/base/progress.h"
#include "core/base/result.h"
#include "core/report/report_document.h"
#include "ui/report/report_page.h"

namespace aftercurve {

/// What the figures of a report are drawn from.
struct ReportSource {
    const Study& study;
    const Findings& findings;
    const std::vector<FigureSpec>& figures;
};

/// Paints laid out pages to a PDF: A4, embedded fonts, figures as vectors, title and a fixed date (the one of
/// the document, else 2000-01-01), so that the same document gives the same bytes. A figure that cannot be
/// drawn says why in its place. Figures are widgets: on the thread of the QApplication only. `progress` is
/// told the share of pages painted; stopped, it fails with "cancelled".
Result<QByteArray> reportPdf(const ReportDocument& document, const std::vector<ReportPage>& pages,
                             const ReportSource& source, const Progress& progress = {});

}  // namespace aftercurve
