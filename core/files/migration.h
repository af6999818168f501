#pragma once

#include <cstdint>
#include <string>

#include "core/base/result.h"
#include "core/files/json_text.h"

namespace aftercurve {

/// Versions of study.json. Read: from the oldest to this one; written: this one. Version 2 has keys that a
/// program of version 1 would not heed (an exclusion of a single sample), so a file that may use them must
/// not say 1.
inline constexpr std::int64_t oldestStudyVersion = 1;
inline constexpr std::int64_t studyVersion = 2;

/// The version that a study.json says. Fails where it is missing, no whole number, below the oldest, or above
/// studyVersion (written by a newer program); the problem names the key.
Result<std::int64_t> studyVersionOf(const Json& root);

/// The same study in the current version, one step for each version between. No step changes what the study
/// means, and keys that no step knows stay on every level. Version 1 to 2: the version alone.
Result<Json> migratedStudy(Json root);

/// File in which the text of an older version is kept when it is first saved anew: "study.version-1.json".
std::string keptVersionName(std::int64_t version);

}  // namespace aftercurve
