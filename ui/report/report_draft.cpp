#include "ui/report/report_draft.h"

#include "core/base/progress_part.h"
#include "ui/export/figure_export.h"
#include "ui/figures/default_figures.h"
#include "ui/report/report_layout.h"

namespace aftercurve {

namespace {

Problem cancelled() {
    Problem problem;
    problem.what = "cancelled";
    return problem;
}

/// Pictures of the page take about as long as the pages of the PDF.
constexpr double picturesUntil = 0.5;

}  // namespace

Result<ReportDraft> draftReport(const Study& study, const Findings& findings, const ReportRequest& request) {
    if (const std::vector<Problem> wrong = validate(request.options); !wrong.empty()) {
        return wrong.front();
    }
    if (!request.html && !request.pdf) {
        Problem problem;
        problem.what = "no format of the report is asked for";
        problem.remedy = "choose HTML, PDF or both";
        return problem;
    }
    ReportDraft draft;
    draft.request = request;
    if (request.figures) {
        draft.figures = figuresOf(study, findings);
        for (FigureSpec& spec : draft.figures) {
            spec.title = titleOf(spec, study);
        }
    }
    draft.document = reportDocument(study, findings, draft.figures, request.options);
    if (request.pdf) {
        draft.pages = layOut(draft.document);
    }
    return draft;
}

Result<Done> drawReport(ReportDraft& draft, const Study& study, const Findings& findings,
                        const Progress& progress) {
    if (draft.request.html) {
        FigureExportOptions options;
        options.format = FigureFormat::svg;
        const double count = static_cast<double>(draft.figures.size());
        while (draft.pictures.size() < draft.figures.size()) {
            const double done = static_cast<double>(draft.pictures.size()) / count;
            if (progress && !progress(done * picturesUntil, "figures")) {
                return cancelled();
            }
            const auto svg = renderFigure(draft.figures[draft.pictures.size()], study, findings, options);
            draft.pictures.push_back(svg ? ReportPicture{svg.value().toStdString(), {}}
                                         : ReportPicture{{}, svg.problem().what});
        }
    }
    if (draft.request.pdf) {
        auto pdf = reportPdf(draft.document, draft.pages, {study, findings, draft.figures},
                             partOf(progress, picturesUntil, 1.0));
        if (!pdf) {
            return pdf.problem();
        }
        draft.pdf = std::move(pdf).value();
    }
    return Done{};
}

std::vector<ReportFile> reportFiles(const ReportDraft& draft) {
    std::vector<ReportFile> files;
    if (draft.request.html) {
        files.push_back({"report.html", reportHtml(draft.document, draft.pictures)});
    }
    if (draft.request.pdf) {
        files.push_back({"report.pdf", draft.pdf.toStdString()});
    }
    return files;
}

Result<std::vector<ReportFile>> makeReport(const Study& study, const Findings& findings,
                                           const ReportRequest& request, const Progress& progress) {
    auto draft = draftReport(study, findings, request);
    if (!draft) {
        return draft.problem();
    }
    ReportDraft drawn = std::move(draft).value();
    if (const auto done = drawReport(drawn, study, findings, progress); !done) {
        return done.problem();
    }
    return reportFiles(drawn);
}

}  // namespace aftercurve
