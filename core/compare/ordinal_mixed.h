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
    std::size_t n = 0;  ///< scores of the group
    std::optional<double> logOdds;
    std::optional<double> se;     ///< observed information at the optimum
    std::optional<double> ciLow;  ///< Wald
    std::optional<double> ciHigh;
    std::optional<double> z;
    std::optional<double> p;    ///< two-sided, Wald
    std::string absentBecause;  ///< no score, or the scores lie apart and the estimate has no end
};

/// Proportional odds with a random intercept of the subject, by maximum likelihood:
///   logit P(Y ≤ j) = θ_j − β_g − u_s,  u_s ~ N(0, σ²)
/// Rows: one score of one subject in one group, in any order; a subject may lack groups or have several
/// scores in one. Unit of θ, β, σ: logits; exp(β_g) is the odds ratio of a higher score within a subject.
///
/// Assumes that each β_g is the same at each threshold (proportional odds; not tested), that subjects differ
/// by a normal shift on the logit scale and respond to each group by the same β_g, that scores of a subject
/// are independent given his shift, and that a missing score hangs only on what was seen. A missing score is
/// no row: nothing is filled in, and the subject's other scores count.
///
/// The subject's integral is adaptive Gauss–Hermite quadrature; SE and Wald interval (normal quantile) come
/// from the inverse of the observed information of all parameters, σ among them. Where the likelihood is
/// greatest at σ = 0 the model is that without subjects, σ is taken as known there, and the note says so. The
/// likelihood ratio is 2(log L − log L without groups), both with a σ of their own, against χ² with one
/// degree of freedom for each group with scores but one. Few subjects make Wald and χ² rough guides.
///
/// A category without a score has no threshold of its own. Where the scores of a group lie apart from the
/// others' (all in the least category, say), its β has no finite estimate: the effect is absent with the
/// reason, the other effects and the likelihood ratio are those of the limit. Absent as a whole, with the
/// reason: no score in group 0, one subject, one category, no subject with two scores, more than 50
/// categories or groups, no clear greatest likelihood, σ above 10 (the scores of each subject then fit
/// together without scatter and the likelihood rises towards a σ without end). A quadrature that is off by
/// more than 0.001 in log L, held against 63 points, is noted.
///
/// Sources: McCullagh 1980, J R Stat Soc B 42:109 (proportional odds); Hedeker & Gibbons 1994, Biometrics
/// 50:933 (random effects, quadrature); Agresti 2010, Analysis of Ordinal Categorical Data, 2nd ed.; Pinheiro
/// & Bates 1995, J Comput Graph Stat 4:12 (adaptive quadrature); all from memory.
struct OrdinalMixed {
    std::size_t n = 0;  ///< scores
    std::size_t subjects = 0;
    std::vector<std::size_t> counts;  ///< scores by category; an empty category has no threshold of its own
    std::vector<double> thresholds;   ///< between categories with scores; none where one has no finite value
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

/// `options` must be valid.
OrdinalMixed ordinalMixed(std::span<const OrdinalRow> rows, const OrdinalOptions& options = {});

}  // namespace aftercurve
