#pragma once

#include "core/findings/findings.h"
#include "core/findings/table.h"

namespace aftercurve {

/// Samples, fractions and quantities by their labels where the study names its samples; by id and key in
/// results.json, which is made without it.
Table named(Table table, const Study& study, const DigestionFindings& digestion);

}  // namespace aftercurve
