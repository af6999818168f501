#include "core/portion/match.h"

#include "core/portion/within.h"

namespace aftercurve {

std::string_view wordFor(MatchStatus status) {
    switch (status) {
        case MatchStatus::matched:
            return "matched";
        case MatchStatus::notMatched:
            return "not matched";
        case MatchStatus::notKnown:
            break;
    }
    return "not known";
}

PortionMatch matchPortions(const std::optional<double>& foodG, const std::optional<double>& otherG,
                           double tolerancePercent) {
    PortionMatch match;
    if (!foodG || !otherG) {
        match.differenceG = absentPortionValue(!foodG ? "the available carbohydrate is not given"
                                                      : "the other's available carbohydrate is not given");
        match.differencePercent = match.differenceG;
        return match;
    }
    match.differenceG = finitePortionValue(*foodG - *otherG);
    if (!(*otherG > 0.0)) {
        match.differencePercent = absentPortionValue("the other holds no available carbohydrate");
        match.status = *foodG == *otherG ? MatchStatus::matched : MatchStatus::notMatched;
        return match;
    }
    match.differencePercent = finitePortionValue(100.0 * (*foodG - *otherG) / *otherG);
    match.status =
        match.differencePercent.value && withinPercent(*match.differencePercent.value, tolerancePercent)
            ? MatchStatus::matched
            : MatchStatus::notMatched;
    return match;
}

}  // namespace aftercurve
