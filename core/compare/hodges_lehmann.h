#pragma once

#include <optional>
#include <string>

#include "core/compare/differences.h"

namespace aftercurve {

/// Median of all Walsh averages (d_i + d_j)/2, i ≤ j, and the interval that inverts the signed rank test.
/// Up to 50 differences the interval's ends are the Walsh averages of the exact (untied) null
/// distribution: the C-th smallest and largest with C the largest count for which 2·P(V ≤ C − 1) ≤ alpha;
/// conservative with ties. Beyond 50: the same C by the normal approximation with a continuity correction
/// of 1/2. Zeros stay in (they are data), for the estimate and for the interval; R's wilcox.test drops
/// them. `achievedConfidence` is the confidence of the interval given, exact up to 50, by the same
/// approximation beyond. Memory and time grow with n, not n². A value that is not finite: absent. Source:
/// Hodges & Lehmann 1963, Ann Math Stat 34:598; Hollander & Wolfe 1973, ch. 3. No difference: absent. Too
/// few differences for the confidence asked (5 or fewer at 95 %): no interval, with the reason.
struct HodgesLehmann {
    std::optional<double> estimate;
    std::optional<double> ciLow;
    std::optional<double> ciHigh;
    std::optional<double> achievedConfidence;
    std::string method;  ///< of the interval: "exact" or "normal"
    std::string absentBecause;
};

HodgesLehmann hodgesLehmann(const Differences& differences, double alpha);

}  // namespace aftercurve
