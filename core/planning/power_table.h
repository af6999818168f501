#pragma once

#include "core/findings/table.h"
#include "core/planning/power.h"

namespace aftercurve {

/// The curve as a table: subjects and power (or assurance, or half-width).
Table powerTable(const PowerCurve& curve);

}  // namespace aftercurve
