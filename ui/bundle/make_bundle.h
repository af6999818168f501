#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "core/base/progress.h"
#include "core/base/result.h"
#include "core/bundle/bundle_contents.h"
#include "core/bundle/bundle_study.h"

namespace aftercurve {

/// A bundle on the way: the study's files as they are, and what came of them.
struct BundleDraft {
    BundledStudy analysed;          ///< without a study: `analysed.problems` say why
    std::vector<BundleFile> files;  ///< study, findings, tables and recompute; later figures and report
    std::vector<Problem> personal;  ///< columns that look as if they named people: to be confirmed
};

/// Reads the study as it is on disk, analyses it and looks for columns that name people. May run on a worker.
BundleDraft draftBundle(const std::filesystem::path& study, const Progress& progress);

/// Adds figures/ (SVG and PDF), report.html and report.pdf. Figures are widgets: on the thread of the
/// QApplication only. Stopped, it fails with "cancelled".
Result<Done> addFiguresAndReport(BundleDraft& draft, const Progress& progress);

/// Adds README, licence and manifest, and writes the bundle: a zip file where `out` ends with ".zip", else a
/// folder, whole or not at all. May run on a worker.
Result<Done> finishBundle(BundleDraft draft, const BundleFacts& facts, const std::filesystem::path& out);

}  // namespace aftercurve
