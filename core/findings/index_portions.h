#pragma once

#include <span>
#include <vector>

#include "core/base/problem.h"
#include "core/findings/findings.h"

namespace aftercurve {

/// What each index means for the portion that was eaten. Where the portion's available carbohydrate differs
/// from the reference's by more than the plan's tolerance (matchTolerancePercent of the reference's), the
/// number is no index: it stands as the relative response of the portion, and index, class and load are
/// absent. Where one of the two is not given it counts as an index and a remark says that the match is not
/// known. Scale, class and load for glucose alone; class from the positive incremental area alone.
std::vector<IndexPortion> indexPortions(const Study& study, const Plan& plan,
                                        std::span<const IndexFinding> indices);

/// A warning for each food whose portion does not match the reference's.
std::vector<Problem> problemsOf(std::span<const IndexPortion> portions, const Plan& plan);

/// Each food with named parts: the index that they predict beside the glucose index observed. Empty where
/// the plan asks for no index or there is no reference food. Parts on the white-bread scale are converted by
/// the plan's factor where that is not 1, else by 0.70.
std::vector<MealFinding> mealFindings(const Study& study, const Plan& plan,
                                      std::span<const IndexPortion> portions);

/// Meals whose parts do not add up to the portion's carbohydrate, or that cannot be predicted; the factor
/// where it was not the plan's.
std::vector<Problem> problemsOf(std::span<const MealFinding> meals, const Plan& plan);

}  // namespace aftercurve
