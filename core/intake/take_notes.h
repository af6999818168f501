#pragma once

#include <span>
#include <string>

#include "core/intake/gathered.h"
#include "core/intake/merge_draws.h"

namespace aftercurve {

/// Tells what was done to the rows, by table: skipped, filled, padded, diluted, renamed, below the limit.
void noteDeeds(const Gathered& gathered, std::span<const std::string> tables, const Mapping& mapping,
               ProblemList& problems);

/// Tells how tables were joined; `analytes` are the ids of those that each table has.
void noteMerging(const MergeCounts& counts, std::span<const std::string> tables,
                 const std::vector<std::vector<std::string>>& analytes, ProblemList& problems);

}  // namespace aftercurve
