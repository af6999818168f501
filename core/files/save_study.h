#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "core/base/result.h"
#include "core/study/study.h"

namespace aftercurve {

/// Writes a study that has no folder yet: study.json and the CSV files that it names, all of them or none.
/// Fails where the folder holds a study.json already, cannot be made or written, or the study names a file
/// outside it.
Result<Done> writeNewStudy(const std::filesystem::path& folder, const Study& study);

}  // namespace aftercurve
