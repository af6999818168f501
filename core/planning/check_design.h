#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "core/base/problem.h"
#include "core/planning/given_schedule.h"

namespace aftercurve {

/// How often an order of foods stands in a schedule.
struct SequenceCount {
    std::string sequence;  ///< "oats barley pea"; "–" for a period without a food
    std::size_t subjects = 0;

    bool operator==(const SequenceCount&) const = default;
};

/// The counts of one group of subjects.
struct DesignCounts {
    std::string stratum;  ///< "" for all subjects
    std::size_t subjects = 0;
    std::vector<std::vector<std::size_t>> foodInPeriod;  ///< [food][period]
    std::vector<std::vector<std::size_t>> follows;       ///< [food][food before it], consecutive periods
    std::vector<SequenceCount> sequences;                ///< by their text
    bool periodsBalanced = false;                        ///< each food equally often in each period
    bool carryOverBalanced = false;  ///< each food equally often straight after each other one
    bool sequencesBalanced = false;  ///< the orders that are used, equally often

    bool operator==(const DesignCounts&) const = default;
};

struct DesignCheck {
    std::vector<std::string> foods;
    std::size_t periods = 0;
    DesignCounts all;
    std::vector<DesignCounts> strata;  ///< by name, where there are two or more
    /// What is unbalanced, in words: a warning; a note where the counts differ by 1 and the number of
    /// subjects allows no better, and of a subject without a food or with one food twice (repeats of a
    /// reference are planned so).
    std::vector<Problem> findings;
};

/// Counts a schedule out. A pair of the same food twice running is in `follows` but not part of the balance.
/// Every food is looked for in every period.
DesignCheck checkDesign(const GivenSchedule& schedule);

/// The check as lines of text: what is balanced, then the counts as small tables.
std::string textOf(const DesignCheck& check);

}  // namespace aftercurve
