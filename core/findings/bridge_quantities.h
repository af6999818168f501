#pragma once

#include <vector>

#include "core/findings/bridge_findings.h"

namespace aftercurve {

/// What findings.digestion says of each food: one entry a quantity that a food has.
std::vector<BridgeQuantity> digestionQuantities(const Findings& findings);

}  // namespace aftercurve
