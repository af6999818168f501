#pragma once

#include <filesystem>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/base/progress.h"
#include "core/base/result.h"
#include "core/bundle/bundle_file.h"
#include "core/findings/findings.h"
#include "core/study/study.h"

namespace aftercurve {

/// The files of a study for a bundle, below study/: study.json, every file that it names, and ledger.jsonl
/// where there is one. Nothing else of the folder is taken. Links are followed inside the folder and become
/// files; a save that was committed and interrupted is seen through. Fails where one cannot be read, or its
/// name cannot stand in a bundle.
Result<std::vector<BundleFile>> bundleStudyFiles(const std::filesystem::path& folder);

/// A study with its findings; or none, with the reasons.
struct BundledStudy {
    std::optional<Study> study;
    Findings findings;              ///< where there is a study
    std::vector<Problem> problems;  ///< why there is none
};

/// Reads the files below study/ from a temporary folder of their own, which is removed at the end, and
/// analyses them with the study's own plan. So a bundle's findings come of what is in the bundle, and nothing
/// else. A stopped run has the problem "cancelled", or one that says that the reading was stopped.
BundledStudy analyseBundledStudy(std::span<const BundleFile> files, const Progress& progress);

}  // namespace aftercurve
