#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "core/compare/margin_estimate.h"

namespace aftercurve {

/// Limits between which two foods count as equivalent, named before the data are seen. In the unit of the
/// values (meanDifference), or as ratios (both others, such as 0.80 and 1.25).
struct Margins {
    double low = 0.0;
    double high = 0.0;
};

/// What is wrong with margins; empty where nothing is. They must be finite, low < high, with 0 (ratios: 1)
/// strictly between them, and ratios above 0.
std::string problemWithMargins(const Margins& margins, MarginScale scale);

enum class EquivalenceVerdict {
    notTested,   ///< no test, with the reason
    equivalent,  ///< both one-sided tests reject: the true value lies within the margins
    notShown,    ///< equivalence is not shown; that is no evidence of a difference
    outside,     ///< the true value lies outside the margins: a one-sided test shows it at alpha
};

/// Words for a report; none of them says that there is no difference.
std::string_view verdictWords(EquivalenceVerdict verdict);

/// Two one-sided tests. Hypothesis: the true value is at or beyond a margin. tLow, tHigh: the t of
/// MarginEstimate at the margins; pLow = P(T > tLow) small: the value is above the low margin; pHigh = P(T <
/// tHigh) small: it is below the high one; p = the larger, each one-sided at alpha, which needs no
/// adjustment. `equivalent` where p < alpha: the same as the interval of confidence 1 − 2·alpha lying
/// strictly within the margins. `outside` where that interval lies wholly beyond a margin. Estimate and
/// interval in the unit of the margins. Assumes what the test on that scale assumes. In a crossover this
/// takes no account of periods: use the difference of a mixed model there. Wrong margins, too few pairs, no
/// spread, values that have no logarithm: not tested, with the reason. Source: Schuirmann 1987, J
/// Pharmacokinet Biopharm 15:657; ratio of means: Sasabuchi 1988, Biometrika 75:169, and Hauschke et al.
/// 1999, J Pharmacokinet Biopharm 27:315; ICH E9 (1998), 3.3.2 (from memory).
struct Equivalence {
    std::size_t n = 0;
    std::optional<double> estimate;
    std::optional<double> ciLow;
    std::optional<double> ciHigh;
    std::optional<double> df;
    std::optional<double> tLow;
    std::optional<double> tHigh;
    std::optional<double> pLow;
    std::optional<double> pHigh;
    std::optional<double> p;
    EquivalenceVerdict verdict = EquivalenceVerdict::notTested;
    std::string absentBecause;
    std::string intervalAbsentBecause;
};

/// Same lengths. 0 < alpha < 0.5.
Equivalence equivalence(MarginScale scale, std::span<const double> food, std::span<const double> comparator,
                        const Margins& margins, double alpha);

/// Of a difference with its standard error and degrees of freedom, such as that of a mixed model; n stays 0.
Equivalence equivalenceOfDifference(double difference, double standardError, double df,
                                    const Margins& margins, double alpha);

}  // namespace aftercurve
