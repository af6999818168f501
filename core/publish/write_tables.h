#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "core/base/result.h"
#include "core/findings/findings.h"
#include "core/publish/publication.h"

namespace aftercurve {

/// Which tables are written, and as what. Keys that are not in the lists are a problem that names the lists.
struct TablesRequest {
    std::vector<std::string> formats = {"xlsx"};  ///< keys of tableFormatList()
    std::vector<std::string> tables;              ///< keys of tableList(); empty: all that have rows
};

/// What is wrong with a request; success where nothing is.
Result<Done> checkedRequest(const TablesRequest& request);

/// Writes into `folder`, made where it is missing: one file a format, tables.<format>, or <key>.<format>
/// where one table is asked for; CSV always a file a table. Each is written atomically; a file of that name
/// is replaced. A table that is asked for by name is written also where it has no rows. Returns the names
/// written; the first failure stops it and names the path. Where no table has rows: a problem.
Result<std::vector<std::string>> writeTables(const Study& study, const Findings& findings,
                                             const TablesRequest& request,
                                             const std::filesystem::path& folder);

}  // namespace aftercurve
