#pragma once

#include "core/findings/tolerance_findings.h"

namespace aftercurve {

/// One model of each item and of the composite, of the worst score of each subject and arm. A quantity with
/// more distinct scores than the model takes with sense (an item of a long scale, a composite) has a model
/// that is absent with the reason. `findings` has its quantities, runs, comparator and scores.
std::vector<ToleranceOrdinalModel> toleranceOrdinalModels(const Plan& plan,
                                                          const ToleranceFindings& findings);

/// The effect of a group from 1, a place in `arms`; null where no score let the model know of the group.
const OrdinalEffect* effectOf(const ToleranceOrdinalModel& one, std::size_t group);

/// Why a group has no effect: the model's reason or its own; empty where it has one.
std::string effectAbsentBecause(const ToleranceOrdinalModel& one, std::size_t group);

/// Stands wherever the odds ratios are read.
inline constexpr const char* proportionalOddsCaution =
    "The model assumes one odds ratio for every score of the scale (proportional odds), which is not tested; "
    "with "
    "few subjects the intervals and p are rough guides.";

/// exp of a logarithm of odds; absent where that is absent or too large for a number.
std::optional<double> oddsOf(const std::optional<double>& logOdds);

}  // namespace aftercurve
