#pragma once

#include <optional>
#include <string>

#include "core/compare/differences.h"

namespace aftercurve {

/// Standardised mean difference of pairs: dz = mean / sd of the differences; gz = dz · J(n − 1) with the
/// exact small-sample correction J(m) = Γ(m/2) / (√(m/2) · Γ((m − 1)/2)). Source: Cohen 1988 (dz); Hedges
/// 1981, J Educ Stat 6:107, eq. 6e (J). n < 2 or all differences equal: absent with the reason. n = 2: dz
/// only, J(1) is not defined, which `absentBecause` says.
struct EffectSize {
    std::optional<double> dz;
    std::optional<double> gz;
    std::string absentBecause;
};

EffectSize effectSize(const Differences& differences);

}  // namespace aftercurve
