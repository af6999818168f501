#pragma once

#include <string>
#include <string_view>

#include "core/base/result.h"
#include "core/edit/origins.h"

namespace aftercurve {

struct PatchedStudyJson {
    std::string text;
    bool changed = false;
    std::string keptName;  ///< file that is to keep the old text, where the version is another; else empty
};

/// study.json of an edited study: `bytes`, which `was` was read from, with what differs put in place. Keys
/// that this program does not know, and the order of all, stay; entries of foods and analytes keep theirs.
/// The same bytes where nothing differs.
Result<PatchedStudyJson> patchedStudyJson(std::string_view bytes, const Study& was, const Study& now,
                                          const Origins& origins);

/// study.json of a study that has no folder yet. Where the study holds the text of another one
/// (Study::studyJson) its unknown keys are kept.
Result<std::string> newStudyJson(const Study& study);

}  // namespace aftercurve
