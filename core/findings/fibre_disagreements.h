#pragma once

#include <span>
#include <vector>

#include "core/findings/fibre_findings.h"

namespace aftercurve {

/// Results of one material held against each other, with what follows from the table of methods and nothing
/// else: two totals by different methods; a total and resistant starch; a total and the sum of its fractions
/// (same method and laboratory). Compared on the material as it is, else on dry matter; pairs that share no
/// basis are left to the table. A difference counts from the tolerance of sums on (core/portion: 5 %, 0.5 g).
std::vector<FibreDisagreement> fibreDisagreements(std::span<const FibreResultFinding> results);

}  // namespace aftercurve
