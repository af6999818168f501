#pragma once

#include "core/findings/findings.h"
#include "core/findings/table.h"

namespace aftercurve {

/// What a table of digestions says where the study has no assays.
inline constexpr const char* noAssays =
    "No assays: study.json names no file of digestions in vitro (assays).";

/// Samples, fractions and quantities by their labels where the study names its samples; by id and key in
/// results.json, which is made without it.
Table named(Table table, const Study& study, const DigestionFindings& digestion);

}  // namespace aftercurve
