#pragma once

#include <cstddef>
#include <optional>
#include <string>

#include "core/compare/differences.h"

namespace aftercurve {

/// How often a subject scores higher with the food than with the comparator. Of n paired differences, higher
/// ones count 1, equal ones 1/2, lower ones 0: `probability` = mean of these, `winOdds` = probability/(1 −
/// probability). It reads the order of the scores only, so it suits ordinal scales, and compares each subject
/// with himself. 1/2 and odds 1: as often higher as lower.
/// Interval: on the log-odds, with SE = SD(counts)/√n and delta method, logit(probability) ±
/// z·SE/(probability (1 − probability)), turned back. A large-sample interval: below about 10 pairs it is too
/// narrow. No pair: absent. One pair, all counts equal, or a probability of 0 or 1: no interval, with the
/// reason. Source: Brunner, Vandemeulebroecke & Mütze 2021, Stat Med 40:3367 (win odds); Agresti 2010,
/// Analysis of Ordinal Categorical Data, 2nd ed. (paired); both from memory.
struct PairedSuperiority {
    std::size_t n = 0;
    std::size_t higher = 0;
    std::size_t equal = 0;
    std::size_t lower = 0;
    std::optional<double> probability;
    std::optional<double> ciLow;
    std::optional<double> ciHigh;
    std::optional<double> winOdds;  ///< absent where the probability is 1
    std::optional<double> winOddsLow;
    std::optional<double> winOddsHigh;
    std::string absentBecause;          ///< of the probability
    std::string intervalAbsentBecause;  ///< of the intervals
};

/// 0 < alpha < 1.
PairedSuperiority pairedSuperiority(const Differences& differences, double alpha);

}  // namespace aftercurve
