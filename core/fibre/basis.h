#pragma once

#include <optional>

#include "core/portion/amounts.h"

namespace aftercurve {

/// g in 100 g of the material as it is, from g in 100 g of its dry matter: dry · (100 − moisture) / 100, the
/// moisture in % of the material as it is. Absent where the moisture is not given. Definition.
PortionValue asIsFromDry(double dry, const std::optional<double>& moisturePercent);

/// The other way: as is · 100 / (100 − moisture). Absent where the moisture is not given, and where it is 100
/// %.
PortionValue dryFromAsIs(double asIs, const std::optional<double>& moisturePercent);

}  // namespace aftercurve
