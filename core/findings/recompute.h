#pragma once

#include <string>
#include <vector>

#include "core/findings/findings.h"
#include "core/study/study.h"

namespace aftercurve {

/// One file of the folder `recompute`; the name is fixed and has no folder in it.
struct RecomputeFile {
    std::string name;
    std::string bytes;
};

/// What somebody else needs to get the same numbers with another program: the samples as they were analysed
/// (units converted, plan's assay rules applied), the plan, every reported number, and an R script that
/// computes each of them again from the samples and compares. The script's text is the same for every study;
/// what differs stands in the CSV files alone, so that no code or text of a study is ever run.
/// `study` and `findings` belong together, as from `analyse`. The same input gives the same bytes.
/// Absent numbers have an empty value with the reason beside it. Files: docs/formats.md.
std::vector<RecomputeFile> recomputeFiles(const Study& study, const Findings& findings);

}  // namespace aftercurve
