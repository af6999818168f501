#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "core/compare/margin_estimate.h"

namespace aftercurve {

/// Which way a measure is better.
enum class BetterDirection { higherIsBetter, lowerIsBetter };

/// What is to be shown of the food against the comparator.
enum class MarginClaim {
    nonInferiority,  ///< not worse than the comparator by the margin or more
    superiority,     ///< better than the comparator by more than the margin
};

enum class MarginVerdict {
    notTested,  ///< with the reason
    shown,      ///< the claim is shown at alpha
    notShown,   ///< it is not; that is no evidence for its opposite
};

/// Words for a report, such as "non-inferiority not shown"; none says that there is no difference.
std::string_view verdictWords(MarginVerdict verdict, MarginClaim claim);

/// One-sided test of a claim against a margin. The margin is a distance, named before the data are seen: on
/// the scale of the mean difference δ ≥ 0 in the unit of the values, on the ratio scales a factor ≥ 1 (1.25).
/// It becomes the limit
///   non-inferiority  higher is better: −δ or 1/factor; lower is better: +δ or the factor; δ > 0, factor > 1
///   superiority      higher is better: +δ or the factor; lower is better: −δ or 1/factor; δ ≥ 0, factor ≥ 1
/// Hypothesis: the true value is at the limit or on its worse side. t of MarginEstimate at the limit; where
/// higher is better p is the upper tail, P(T > t), where lower is better the lower one. Shown where p <
/// alpha, the same as the interval of confidence 1 − 2·alpha lying wholly on the better side. `bound` is the
/// end of that interval that faces the limit: the one-sided confidence bound at 1 − alpha. ICH E9 asks for
/// alpha = 0.025 where it is one-sided. Both claims may be looked at in turn, non-inferiority first, without
/// adjustment. Edges as at Equivalence.
/// Source: ICH E9 (1998), 3.3.2, and CPMP/EWP/482/99 (2000) on switching (both from memory).
struct OneSidedMargin {
    std::size_t n = 0;
    std::optional<double> limit;
    std::optional<double> estimate;
    std::optional<double> bound;
    std::optional<double> ciLow;
    std::optional<double> ciHigh;
    std::optional<double> t;
    std::optional<double> df;
    std::optional<double> p;
    MarginVerdict verdict = MarginVerdict::notTested;
    std::string absentBecause;
    std::string intervalAbsentBecause;
};

/// What is asked of a food against the comparator.
struct MarginQuestion {
    MarginScale scale = MarginScale::meanDifference;
    MarginClaim claim = MarginClaim::nonInferiority;
    BetterDirection direction = BetterDirection::lowerIsBetter;
    double margin = 0.0;
};

/// What is wrong with the margin; empty where nothing is.
std::string problemWithMargin(const MarginQuestion& question);

/// Same lengths. 0 < alpha < 0.5.
OneSidedMargin oneSidedMargin(const MarginQuestion& question, std::span<const double> food,
                              std::span<const double> comparator, double alpha);

/// Of a difference with its standard error and degrees of freedom; `question.scale` must be meanDifference. n
/// stays 0.
OneSidedMargin oneSidedMarginOfDifference(const MarginQuestion& question, double difference,
                                          double standardError, double df, double alpha);

}  // namespace aftercurve
