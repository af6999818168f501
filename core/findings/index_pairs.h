#pragma once

#include <span>
#include <vector>

#include "core/findings/findings.h"

namespace aftercurve {

/// Every pair of foods of an analyte, in the order of the study, then every food against the reference food
/// (100 in each subject). A subject counts where both foods have a value that the plan's outlier rule kept;
/// the others stand in `subjects` with the reason. p is adjusted by the plan's multiplicity over all pairs
/// of the analyte, those with the reference among them. Both indices of a subject share its reference mean,
/// so that an error of that mean enters both.
std::vector<IndexPair> indexPairs(const Study& study, const Plan& plan,
                                  std::span<const IndexFinding> indices);

}  // namespace aftercurve
