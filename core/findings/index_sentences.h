#pragma once

#include <span>
#include <string>

#include "core/findings/findings.h"
#include "core/study/study.h"

namespace aftercurve {

/// The ways of one index in words: smallest and largest estimate, the ratio of means and why it differs.
/// `ways`: those of one analyte and food. Empty where there is none with an estimate.
std::string indexWaysSentence(const Study& study, std::span<const IndexWay> ways);

/// Two indices compared: difference with interval, t, n, p, adjusted p. A p at or above alpha never becomes
/// 'no difference'.
std::string indexPairSentence(const Study& study, const Plan& plan, const IndexPair& pair);

/// The index on the glucose scale, its class and the load of the portion; or that the number is a relative
/// response and no index.
std::string indexPortionSentence(const Study& study, const Plan& plan, const IndexPortion& portion);

/// Predicted and observed index of a mixed meal, and whether the interval holds the predicted one.
std::string mealSentence(const Study& study, const Plan& plan, const MealFinding& meal);

}  // namespace aftercurve
