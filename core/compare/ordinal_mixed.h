#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace aftercurve {

/// One ordered score.
struct OrdinalRow {
    std::size_t subject = 0;
    std::size_t group = 0;     ///< 0: the one that the others are set against
    std::size_t category = 0;  ///< from the least
};

struct OrdinalOptions {
    double alpha = 0.05;                ///< of the intervals; 0 < alpha < 1
    std::size_t quadraturePoints = 21;  ///< Gauss-Hermite, adaptive, a subject; 1 (Laplace) to 63

    /// What is wrong with them; empty: nothing.
    std::string validate() const;
};

/// A group against group 0, as the logarithm of an odds ratio: above 0 means higher scores.
struct OrdinalEffect {
    std::size_t group = 0;
    double logOdds = 0.0;
    std::optional<double> se;
    std::optional<double> ciLow;  ///< Wald
    std::optional<double> ciHigh;
    std::optional<double> z;
    std::optional<double> p;  ///< two-sided, Wald
};

/// Proportional odds with a random intercept of the subject, by maximum likelihood:
///   logit P(Y ≤ j) = θ_j − β_g − u_s,  u_s ~ N(0, σ²)
struct OrdinalMixed {
    std::size_t n = 0;  ///< scores
    std::size_t subjects = 0;
    std::vector<std::size_t> counts;  ///< scores by category; an empty category has no threshold of its own
    std::vector<double> thresholds;
    std::vector<OrdinalEffect> effects;  ///< by group from 1
    std::optional<double> subjectSd;     ///< σ; 0 at its bound
    std::optional<double> logLikelihood;
    std::optional<double> likelihoodRatio;  ///< of all groups together
    double df = 0.0;
    std::optional<double> p;
    std::string absentBecause;  ///< empty: the fit may be used
    std::string note;           ///< what to know of a usable fit: σ at its bound, categories joined

    bool usable() const { return absentBecause.empty(); }
};

OrdinalMixed ordinalMixed(std::span<const OrdinalRow> rows, const OrdinalOptions& options = {});

}  // namespace aftercurve
