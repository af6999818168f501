#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace aftercurve {

/// One independent value of a group, made in a block (a run, a day, a batch).
struct OneWayRow {
    std::size_t group = 0;
    std::size_t block = 0;
    double value = 0.0;
};

/// How the pairs are judged: each by itself, all pairs by the studentized range, each against one group by
/// the largest of several t.
enum class OneWayFamily { none, tukey, dunnett };

struct OneWayOptions {
    OneWayFamily family = OneWayFamily::tukey;
    std::optional<std::size_t> control;  ///< group; dunnett needs it
    double alpha = 0.05;                 ///< 0 < alpha < 1, of the family together
};

/// group − minus, adjusted for blocks.
struct OneWayDifference {
    std::size_t group = 0;
    std::size_t minus = 0;
    std::optional<double> estimate;
    std::optional<double> se;
    std::optional<double> t;
    std::optional<double> p;          ///< of this pair alone
    std::optional<double> pAdjusted;  ///< within the family; as `p` where there is none
    std::optional<double> ciLow;      ///< simultaneous; of this pair alone where there is no family
    std::optional<double> ciHigh;
    std::string absentBecause;
};

/// Analysis of variance of one factor, value = group + block + residual, by least squares.
///   F = [(RSS of blocks alone − RSS)/(groups − 1)] / [RSS/df], df = n − groups − blocks + 1
/// so that each factor is adjusted for the other (in a balanced design that is the classical table). Pairs: t
/// of the adjusted difference with the pooled residual; Tukey–Kramer p = P(Q ≥ √2|t|), Dunnett p = P(max|Tᵢ|
/// ≥ |t|) with the correlations of the design, intervals with the same quantiles. Assumes independent
/// residuals of one variance. Missing values are left out by the caller. Absent with the reason: fewer than
/// two groups; a value that is not finite; no residual degree of freedom; groups and blocks that cannot be
/// told apart; no residual scatter at all (F is then beyond any number). One block is no factor. Sums of
/// squares below 1e-24 of Σ(x − mean)², or of 1e-28 Σx², count as 0: they are rounding. Sources: Fisher 1925;
/// Tukey 1953; Kramer 1956, Biometrics 12:307; Dunnett 1955, J Am Stat Assoc 50:1096 (from memory). Checked
/// against R's aov, drop1 and TukeyHSD.
struct OneWay {
    std::size_t n = 0;
    std::size_t groups = 0;  ///< with a value
    std::size_t blocks = 0;  ///< likewise
    std::optional<double> f;
    std::optional<double> numeratorDf;
    std::optional<double> denominatorDf;
    std::optional<double> p;
    std::optional<double> residualSd;
    std::vector<OneWayDifference> differences;  ///< none, tukey: all pairs, the later group first; dunnett:
                                                ///< each against the control
    std::string absentBecause;                  ///< why there is no F
};

OneWay oneWay(std::span<const OneWayRow> rows, const OneWayOptions& options = {});

}  // namespace aftercurve
