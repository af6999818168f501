#pragma once

#include <optional>
#include <string_view>

#include "core/portion/amounts.h"

namespace aftercurve {

/// Whether two portions hold about the same available carbohydrate.
enum class MatchStatus { matched, notMatched, notKnown };

/// "matched", "not matched", "not known".
std::string_view wordFor(MatchStatus status);

/// One portion against another.
struct PortionMatch {
    PortionValue differenceG;        ///< food − other
    PortionValue differencePercent;  ///< 100 · (food − other) / other
    MatchStatus status = MatchStatus::notKnown;
};

/// Matched where |difference| ≤ tolerancePercent of the other's, the limit included. One not known: not
/// known, never matched. Other 0: matched where the food's is 0 as well, without a percentage. Definition;
/// that foods are compared at equal available carbohydrate: ISO 26642:2010 and EFSA 2012 guidance on blood
/// glucose claims, both from memory. The tolerance is the plan's choice.
PortionMatch matchPortions(const std::optional<double>& foodG, const std::optional<double>& otherG,
                           double tolerancePercent);

}  // namespace aftercurve
