#include "ui/bundle/make_bundle.h"

#include <array>
#include <utility>

#include "core/base/progress_part.h"
#include "core/bundle/bundle_privacy.h"
#include "core/bundle/bundle_reader.h"
#include "ui/figures/write_figures.h"
#include "ui/report/report_draft.h"

namespace aftercurve {

namespace {

/// Share of drawing that the figures' own files take; the report draws them once more.
constexpr double figuresUntil = 0.6;

}  // namespace

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
        [&](double fraction) { return !progress || progress(fraction * figuresUntil, "figures"); });
    if (!figures) {
        return figures.problem();
    }
    auto drafted = draftReport(study, draft.analysed.findings, {});
    if (!drafted) {
        return drafted.problem();
    }
    ReportDraft report = std::move(drafted).value();
    for (WrittenFigure& figure : std::move(figures).value()) {
        report.pictures.push_back({std::move(figure.svg), {}});
    }
    const auto drawn =
        drawReport(report, study, draft.analysed.findings, partOf(progress, figuresUntil, 1.0));
    if (!drawn) {
        return drawn.problem();
    }
    for (ReportFile& file : reportFiles(report)) {
        draft.files.push_back({std::move(file.name), std::move(file.bytes)});
    }
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
