#include "ui/bundle/make_bundle.h"

#include <array>
#include <utility>

#include "core/bundle/bundle_privacy.h"
#include "core/bundle/bundle_reader.h"
#include "core/findings/report_html.h"
#include "ui/figures/write_figures.h"

namespace aftercurve {

BundleDraft draftBundle(const std::filesystem::path& study, const Progress& progress) {
    BundleDraft draft;
    auto files = bundleStudyFiles(study);
    if (!files) {
        draft.analysed.problems.push_back(files.problem());
        return draft;
    }
    draft.files = std::move(files).value();
    draft.analysed = analyseBundledStudy(draft.files, progress);
    if (draft.analysed.study) {
        for (BundleFile& file : bundleResultFiles(*draft.analysed.study, draft.analysed.findings)) {
            draft.files.push_back(std::move(file));
        }
        draft.personal = personalColumnsOf(draft.files);
    }
    return draft;
}

Result<Done> addFiguresAndReport(BundleDraft& draft, const Progress& progress) {
    const Study& study = *draft.analysed.study;
    constexpr std::array formats{FigureFormat::svg, FigureFormat::pdf};
    auto figures = drawFigures(
        study, draft.analysed.findings, formats,
        [&](const std::string& name, const std::string& bytes) -> Result<Done> {
            draft.files.push_back({"figures/" + name, bytes});
            return Done{};
        },
        [&](double fraction) { return !progress || progress(fraction, "figures"); });
    if (!figures) {
        return figures.problem();
    }
    std::vector<ReportFigure> shownFigures;
    for (WrittenFigure& figure : std::move(figures).value()) {
        shownFigures.push_back({std::move(figure.title), std::move(figure.svg)});
    }
    draft.files.push_back({"report.html", reportHtml(study, draft.analysed.findings, shownFigures)});
    return Done{};
}

Result<Done> finishBundle(BundleDraft draft, const BundleFacts& facts, const std::filesystem::path& out) {
    const auto whole = completeBundle(std::move(draft.files), *draft.analysed.study, facts);
    if (!whole) {
        return whole.problem();
    }
    return writeBundle(out, whole.value());
}

}  // namespace aftercurve
