#pragma once

#include <cstddef>
#include <functional>
#include <span>
#include <string>
#include <vector>

#include "core/intake/gathered.h"

namespace aftercurve {

/// Answers false to stop; what was gathered is of no use then.
using GoOn = std::function<bool()>;

/// Asks every 65,536 draws whether to go on.
class Watch {
  public:
    explicit Watch(const GoOn& goOn) : goOn_(goOn) {}

    /// `i` counts up from 0; false once the answer was no.
    bool goesOn(std::size_t i) {
        constexpr std::size_t drawsPerQuestion = std::size_t{1} << 16;
        stopped_ = stopped_ || (i % drawsPerQuestion == 0 && !goOn_());
        return !stopped_;
    }
    bool stopped() const { return stopped_; }

  private:
    const GoOn& goOn_;
    bool stopped_ = false;
};

/// Makes minutes of times of day: Draw::timeMin from Gathered::clock and the start of the visit's meal, which
/// is its meal-start cell or else its row with nominal time 0 (then noted in VisitFacts). Each lies within 12
/// h of the start, or on the day that brings it nearest to its nominal time. Fatal: a visit with times of day
/// but no start, or two starts. Warns of draws without nominal time more than 6 h from the start.
/// False where it was stopped.
bool resolveClocks(Gathered& gathered, std::span<const std::string> tables, const Mapping& mapping,
                   ProblemList& problems, const GoOn& goOn);

struct MergeCounts {
    std::size_t merged = 0;           ///< draws made of several rows
    std::size_t repeated = 0;         ///< cells that said the same twice
    std::vector<std::size_t> onlyIn;  ///< draws by the one table that has them
    bool stopped = false;
};

/// Sorts the draws (subject, visit, food, time, replicate) and makes one of those that agree in all of these.
/// Fatal: two different concentrations, limits, or actual times for one draw, with both places.
MergeCounts mergeDraws(Gathered& gathered, std::span<const std::string> tables, const Mapping& mapping,
                       ProblemList& problems, const GoOn& goOn);

}  // namespace aftercurve
