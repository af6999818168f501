#pragma once

namespace aftercurve {

/// What the assays of digestion in vitro show.
struct DigestionFindings {};

}  // namespace aftercurve
