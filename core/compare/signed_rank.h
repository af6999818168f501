#pragma once

#include <cstddef>
#include <optional>
#include <string>

#include "core/compare/differences.h"

namespace aftercurve {

/// Wilcoxon's signed rank test. Hypothesis: the differences are symmetric about 0. Zeros are dropped,
/// tied |differences| get mid-ranks, V = sum of the ranks of the positive differences; two-sided p. Up to
/// 50 non-zero differences: exact, from the distribution of V over all sign patterns given the ranks that
/// occurred (so ties and zeros are exact too), p = min(1, 2·min(P(V ≤ v), P(V ≥ v))). Beyond: normal
/// approximation with tie-corrected variance and a continuity correction of 1/2. `method` says which.
/// Source: Wilcoxon 1945, Biometrics Bulletin 1:80; Hollander & Wolfe 1973, ch. 3; conditional
/// distribution: Pratt & Gibbons 1981. No non-zero difference, or one that is not finite: V and p absent,
/// `absentBecause` says why. A group of ties ends where the gap to the next |difference| exceeds the
/// resolution.
struct SignedRank {
    std::size_t nonZero = 0;
    std::size_t zeros = 0;
    bool ties = false;
    std::optional<double> v;
    std::optional<double> p;
    std::string method;  ///< "exact" or "normal-continuity"; empty where there is no test
    std::string absentBecause;
};

SignedRank signedRank(const Differences& differences);

}  // namespace aftercurve
