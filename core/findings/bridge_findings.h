#pragma once

namespace aftercurve {

/// Digestion in vitro of each food beside what was measured in people.
struct BridgeFindings {};

}  // namespace aftercurve
