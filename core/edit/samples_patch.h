#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/result.h"
#include "core/edit/origins.h"

namespace aftercurve {

/// The samples files of an edited study, in the order of Study::sampleFiles. `studyJson` and `files` are the
/// bytes that `was` was read from. A column is added at the end for a fact that a file has no place for; a
/// header whose analyte has another name or unit is renamed, and its cells are written anew where they would
/// read otherwise. Fails where a column that is not read so far would become one of an analyte's.
Result<std::vector<std::string>> patchedSamples(std::string_view studyJson,
                                                std::span<const std::string_view> files, const Study& was,
                                                const Study& now, const Origins& origins);

/// The subjects file. Subjects that the samples alone would give in this order need no row.
std::string patchedSubjects(std::string_view bytes, const Study& was, const Study& now,
                            const Origins& origins);

/// True where a study without a subjects file would be read back otherwise, so that it needs one.
bool needsSubjectsFile(const Study& study);

}  // namespace aftercurve
