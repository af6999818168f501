#pragma once

#include <vector>

#include "core/findings/bridge_findings.h"

namespace aftercurve {

/// What findings.digestion says of each food: hydrolysis index, rapidly
/// digestible and resistant starch, digested starch at the end of the areas; those that a food has. A food of
/// which several samples were digested is left out: none of them stands for it.
std::vector<BridgeQuantity> digestionQuantities(const Findings& findings);

}  // namespace aftercurve
