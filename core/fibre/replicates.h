#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "core/fibre/fibre_methods.h"
#include "core/portion/amounts.h"

namespace aftercurve {

/// Two determinations by one laboratory differ by more than r = 2.8 · s_r in about one of twenty pairs:
/// 1.96 · √2 = 2.77, rounded as in ISO 5725-6:1994 (from memory).
inline constexpr double repeatabilityFactor = 2.8;

/// Determinations of one material by one method in one laboratory.
struct FibreReplicates {
    std::size_t n = 0;
    PortionValue mean;
    PortionValue sd;         ///< n − 1
    PortionValue cvPercent;  ///< 100 · sd / mean
    PortionValue range;      ///< largest − smallest
};

/// Moments of the determinations, in their unit. One alone has a mean and no spread; CV needs a mean above 0.
FibreReplicates fibreReplicates(std::span<const double> values);

/// Where the difference of two determinations lies against r.
enum class RepeatabilityVerdict {
    notJudged,
    within,   ///< not above r of the most even material, nor of the own s_r
    between,  ///< above r of the most even material, not above that of the most uneven one
    beyond,   ///< above r of every material, or above r of the own s_r
};

/// "within", "between", "beyond", "not judged".
std::string_view wordFor(RepeatabilityVerdict verdict);

struct RepeatabilityJudgement {
    RepeatabilityVerdict verdict = RepeatabilityVerdict::notJudged;
    std::optional<double> limitLowG;  ///< r for the smallest s_r, g per 100 g
    std::optional<double> limitHighG;
    std::string source;   ///< of s_r
    std::string because;  ///< of notJudged
};

/// The range of exactly two determinations against r = 2.8 · s_r (s_r in % of the mean: r = 2.8 · s_r · mean
/// / 100), the limit included. `ownSdG`, the laboratory's own s_r, stands in place of the published ones. Not
/// judged: other than two determinations, an unknown method, no s_r at hand, a fraction other than the one
/// that was studied (total; resistant starch for a method that gives it).
RepeatabilityJudgement judgeRepeatability(const FibreReplicates& replicates, const FibreMethod* method,
                                          std::string_view fraction, const std::optional<double>& ownSdG);

}  // namespace aftercurve
