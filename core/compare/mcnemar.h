#pragma once

#include <cstddef>
#include <optional>
#include <string>

namespace aftercurve {

/// Pairs of yes-or-no answers of the same subjects with two foods.
struct YesNoPairs {
    std::size_t both = 0;
    std::size_t foodOnly = 0;
    std::size_t comparatorOnly = 0;
    std::size_t neither = 0;

    std::size_t n() const { return both + foodOnly + comparatorOnly + neither; }
};

/// McNemar's test of paired shares. Hypothesis: a subject who answers differently is as likely to say yes
/// with the food only as with the comparator only. With b = foodOnly, c = comparatorOnly, m = min(b, c) and X
/// binomial with b + c trials and share 1/2:
///   p       exact, min(1, 2·P(X ≤ m))
///   midP    min(1, 2·(P(X ≤ m) − P(X = m)/2)): closer to the level than the exact p, which is cautious;
///           it does not hold the level in every case
/// difference = (b − c)/n of the two shares, with the adjusted Wald interval: p12 = (b + 1)/(n + 2), p21 =
/// (c + 1)/(n + 2), (p12 − p21) ± z·√((p12 + p21 − (p12 − p21)²)/(n + 2)), cut at ±1. It is centred on the
/// adjusted difference, not on the difference itself.
/// No pair: all absent. No subject who answers differently: no test, the difference is 0 and its interval
/// stands. Source: McNemar 1947, Psychometrika 12:153; mid-p: Fagerland, Lydersen & Laake 2013, BMC Med Res
/// Methodol 13:91 (from memory); interval: Bonett & Price 2012, J Educ Behav Stat 37:479 (from memory).
struct McNemar {
    YesNoPairs pairs;
    std::optional<double> p;
    std::optional<double> midP;
    std::optional<double> difference;
    std::optional<double> ciLow;
    std::optional<double> ciHigh;
    std::string absentBecause;  ///< of p and midP
};

/// 0 < alpha < 1.
McNemar mcNemar(const YesNoPairs& pairs, double alpha);

}  // namespace aftercurve
