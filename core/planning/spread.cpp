#include "core/planning/spread.h"

#include <cassert>
#include <cmath>
#include <numbers>

namespace aftercurve {

std::string_view wordFor(SpreadKind kind) {
    switch (kind) {
        case SpreadKind::sdOfDifferences:
            return "differences";
        case SpreadKind::sdWithin:
            return "within";
        case SpreadKind::cvWithin:
            return "cv";
    }
    return "";
}

double sdOfDifference(const Spread& spread) {
    switch (spread.kind) {
        case SpreadKind::sdOfDifferences:
            return spread.value;
        case SpreadKind::sdWithin:
            return std::numbers::sqrt2 * spread.value;
        case SpreadKind::cvWithin: {
            const double share = spread.value / 100.0;
            return std::numbers::sqrt2 * std::sqrt(std::log1p(share * share));
        }
    }
    return 0.0;
}

ErrorOfDifference errorOfDifference(TwoFoodDesign design, std::size_t n) {
    assert(n >= leastSubjects(design));
    const auto subjects = static_cast<double>(n);
    if (design == TwoFoodDesign::paired) {
        return {1.0 / std::sqrt(subjects), subjects - 1.0};
    }
    const auto first = static_cast<double>(n / 2);
    const double second = subjects - first;
    return {0.5 * std::sqrt(1.0 / first + 1.0 / second), subjects - 2.0};
}

std::size_t leastSubjects(TwoFoodDesign design) {
    return design == TwoFoodDesign::paired ? 2 : 3;
}

}  // namespace aftercurve
