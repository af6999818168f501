#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "core/files/problem_list.h"
#include "core/files/study_folder.h"
#include "core/study/study.h"
#include "core/study/units.h"

namespace aftercurve {

/// What study.json declares: the study without its draws, and how each analyte is converted.
struct StudyDeclaration {
    Study study;
    std::vector<ConversionOptions> conversions;  ///< one for each analyte
};

/// Reads the text of study.json. Nothing comes back where the text is not a study; then `problems` has
/// something fatal. Keys that are not known are ignored.
std::optional<StudyDeclaration> readStudyJson(std::string_view bytes, const ReadLimits& limits,
                                              ProblemList& problems);

}  // namespace aftercurve
