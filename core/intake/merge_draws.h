#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <vector>

#include "core/intake/gathered.h"

namespace aftercurve {

/// Makes minutes of times of day: Draw::timeMin from Gathered::clock and the start of the visit's meal, which
/// is its meal-start cell or else its row with nominal time 0 (then noted in VisitFacts). Each lies within 12
/// h of the start, or on the day that brings it nearest to its nominal time. Fatal: a visit with times of day
/// but no start, or two starts. Warns of draws without nominal time more than 6 h from the start.
void resolveClocks(Gathered& gathered, std::span<const std::string> tables, const Mapping& mapping,
                   ProblemList& problems);

struct MergeCounts {
    std::size_t merged = 0;           ///< draws made of several rows
    std::size_t repeated = 0;         ///< cells that said the same twice
    std::vector<std::size_t> onlyIn;  ///< draws by the one table that has them
};

/// Sorts the draws (subject, visit, food, time, replicate) and makes one of those that agree in all of these.
/// Fatal: two different concentrations, limits, or actual times for one draw, with both places.
MergeCounts mergeDraws(Gathered& gathered, std::span<const std::string> tables, const Mapping& mapping,
                       ProblemList& problems);

}  // namespace aftercurve
