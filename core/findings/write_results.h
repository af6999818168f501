#pragma once

#include <filesystem>
#include <functional>
#include <string>
#include <vector>

#include "core/base/result.h"
#include "core/findings/findings.h"
#include "core/study/study.h"

namespace aftercurve {

/// Gives each file of the results in turn to `take`: results.json, tables/<key>.csv, recompute/*. Ends where
/// it answers false.
void forEachResultFile(const Study& study, const Findings& findings,
                       const std::function<bool(const std::string& name, const std::string& bytes)>& take);

/// Writes results.json and tables/<key>.csv below `folder`, which is made where it is missing. Each file is
/// written atomically. Returns the paths written, relative to `folder`; the first failure stops it and names
/// the path.
Result<std::vector<std::string>> writeResults(const Study& study, const Findings& findings,
                                              const std::filesystem::path& folder);

}  // namespace aftercurve
