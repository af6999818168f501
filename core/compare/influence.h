#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "core/compare/differences.h"

namespace aftercurve {

/// The paired t test without one subject, and how that subject stands apart.
struct LeftOutSubject {
    std::size_t index = 0;  ///< of the difference left out
    std::optional<double> meanDifference;
    std::optional<double> ciLow;
    std::optional<double> ciHigh;
    std::optional<double> p;
    std::optional<double> change;       ///< mean without the subject − mean of all
    bool crossesAlpha = false;          ///< one of the two p (with, without) is below alpha, the other not
    bool turnsSign = false;             ///< the two means lie on different sides of 0 (0 itself is a side)
    bool movesInterval = false;         ///< of below 0, around 0, above 0 the interval is another
    std::optional<double> studentised;  ///< externally studentised residual
    std::optional<double> residualP;    ///< two-sided, n − 2 df
    std::optional<double> residualPAdjusted;  ///< Bonferroni: min(1, n·p)
    bool flagged = false;                     ///< adjusted p below alpha
    std::string absentBecause;
};

/// What one subject does to a paired t test (mean, interval, p of pairedT with each subject left out in
/// turn), and which difference lies far from all others: t_i = (d_i − d̄)/(s_(i)·√(1 − 1/n)), s_(i) the
/// standard deviation without i; t with n − 2 df if all differences come from one normal distribution, p
/// adjusted by Bonferroni. A flag asks for a look at the subject's data; nothing is excluded because of it.
/// Units: those of the differences; studentised residuals have none. n < 3: absent with the reason (n = 2:
/// without one subject no test is left). All others equal: that subject has no residual and no test without
/// it, with the reason. All differences equal, one that is not finite, n above 5000: absent with the reason.
/// Source: Cook & Weisberg 1982, Residuals and Influence in Regression, ch. 2 (from memory).
struct Influence {
    std::size_t n = 0;
    std::vector<LeftOutSubject> subjects;      ///< in the order of the differences
    std::optional<std::size_t> largestChange;  ///< index of the largest |change|; of equal ones the first
    bool anyCrossesAlpha = false;
    bool anyTurnsSign = false;
    bool anyMovesInterval = false;
    std::vector<std::size_t> flagged;
    std::string absentBecause;

    /// Whether leaving out some single subject turns the result.
    bool anyTurns() const { return anyCrossesAlpha || anyTurnsSign || anyMovesInterval; }
};

/// 0 < alpha < 1.
Influence influence(const Differences& differences, double alpha);

}  // namespace aftercurve
