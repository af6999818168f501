#pragma once

#include <Eigen/Core>
#include <cstddef>
#include <span>
#include <vector>

#include "core/compare/ordinal_mixed.h"

namespace aftercurve {

/// Where the estimate of a group against group 0 lies.
enum class OrdinalReach { finite, rises, falls, undetermined, noScore };

/// The scores of a proportional odds model, counted, and which of its parameters have a finite estimate.
/// Internal to core/compare.
///
/// The logarithm of a score's probability F(a) − F(b), a = θⱼ − β − u, b = θⱼ₋₁ − β − u, is log F(a) + log(1
/// − F(b)) + log(1 − e^(b − a)). So the likelihood does not fall along a direction in which β_g ≤ θⱼ and θⱼ₋₁
/// ≤ β_g keep holding for each score of group g in category j. Read as arrows of a graph, these orders leave
/// only the direction 0, and the estimates are finite, where each parameter reaches each other. Otherwise the
/// parameters fall into parts that move away from each other; in the limit a score's bound in another part
/// costs nothing and is left out, and the estimates within a part stay finite. (Derived here; separation in
/// general: Albert & Anderson 1984, Biometrika 71:1, from memory.)
struct OrdinalForm {
    struct Cell {
        std::size_t group = 0;
        std::size_t category = 0;  ///< among those with a score
        bool below = false;        ///< F(b) counts: θ of category − 1 is in the part of the group
        bool above = false;        ///< F(a) counts
    };
    /// Subjects with the same scores.
    struct Pattern {
        std::vector<std::size_t> cells;
        double subjects = 0.0;
    };

    std::size_t scores = 0;
    std::size_t groupsWithScores = 0;
    std::vector<std::size_t> categoryCounts;  ///< of the categories with a score
    std::vector<Cell> cells;
    std::vector<Pattern> patterns;

    /// Places in the vector of parameters; −1: none. A threshold is held as itself, or, `chained`, as the
    /// logarithm of its distance from the threshold before. σ is the last parameter.
    std::vector<Eigen::Index> thresholdAt;
    std::vector<bool> chained;
    std::vector<Eigen::Index> groupAt;
    Eigen::Index parameters = 0;

    std::vector<OrdinalReach> reach;      ///< by group
    std::vector<bool> thresholdIsFinite;  ///< against group 0
    std::vector<bool> inOneCategory;      ///< by group: all its scores in the least, or all in the greatest
    bool subjectsTellSpread = false;      ///< a subject has two scores that count

    Eigen::Index sigmaAt() const { return parameters - 1; }
};

/// `groups`: from group 0, also those without a score. Rows in any order give the same form.
OrdinalForm ordinalForm(std::span<const OrdinalRow> rows, std::size_t groups);

}  // namespace aftercurve
