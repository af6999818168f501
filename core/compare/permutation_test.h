#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>

#include "core/base/progress.h"
#include "core/compare/differences.h"

namespace aftercurve {

/// How sign-flip tests are run. Only `replicates` and `seed` enter a result, and only beyond `exactUpTo`.
struct PermutationSettings {
    std::uint64_t replicates = 99'999;  ///< 99 … 10⁸
    std::uint64_t seed = 1;
    std::size_t exactUpTo = 20;  ///< non-zero differences; at most 24
    unsigned threads = 1;
};

/// Sign-flip (permutation) test of the mean of paired differences. Hypothesis: the differences are symmetric
/// about 0, as they are where the two foods of a pair are exchangeable. Statistic |Σ ±d|; two-sided. Up to
/// `exactUpTo` non-zero differences all 2^n sign patterns are counted: p = (patterns at least as far from 0
/// as the one observed) / 2^n. Beyond: `replicates` random patterns, p = (b + 1)/(replicates + 1), whose
/// standard error is `monteCarloError` = √(p(1 − p)/replicates). Assumes independent subjects, no normality;
/// the order of the subjects is no part of an exact result, but of a random one. Sums that differ by no more
/// than `tieTolerance` = max(resolution, 1e-12·Σ|d|) count as equal, so that rounding of decimals hides no
/// tie. Differences within the resolution of 0 count as 0, are dropped and change no p. The smallest p there
/// can be is 2/2^n: with 5 non-zero differences 0.0625. Source: Fisher 1935, The Design of Experiments, ch.
/// 3; (b + 1)/(m + 1): Davison & Hinkley 1997, eq. 4.11; Phipson & Smyth 2010, Stat Appl Genet Mol Biol 9:39.
/// No pair, no non-zero difference, one that is not finite, settings out of range, or work that was stopped:
/// p absent with the reason.
struct PermutationTest {
    std::size_t nonZero = 0;
    std::size_t zeros = 0;
    std::optional<double> meanDifference;  ///< of all differences, zeros included
    std::optional<double> p;
    std::uint64_t patterns = 0;          ///< 2^n, or the replicates
    std::uint64_t asExtreme = 0;         ///< of `patterns`; the observed one is among them where they are all
    std::optional<double> tieTolerance;  ///< of the sum, in the unit of the differences
    std::optional<double> monteCarloError;  ///< absent where the test is exact
    std::string method;                     ///< "exact" or "monte-carlo"; empty where there is no test
    std::string absentBecause;
};

PermutationTest permutationTest(const Differences& differences, const PermutationSettings& settings = {},
                                const Progress& progress = {});

}  // namespace aftercurve
