#pragma once

#include <string>
#include <vector>

#include "core/base/problem.h"

namespace aftercurve {

/// What a number for the scatter of a measure means.
enum class SpreadKind {
    sdOfDifferences,  ///< SD over subjects of the difference between two foods
    sdWithin,         ///< SD of repeated visits of one subject
    cvWithin,         ///< the same as coefficient of variation in %, for ratios of foods
};

/// Words of the command line: "differences", "within", "cv".
std::string_view wordFor(SpreadKind kind);

/// The scatter that a study is planned with, in the unit of the measure (cvWithin: %; on a log scale: of the
/// natural logarithms).
struct Spread {
    SpreadKind kind = SpreadKind::sdOfDifferences;
    double value = 0.0;

    bool operator==(const Spread&) const = default;
};

/// SD over subjects of the difference of two foods, one visit each: the value; √2·SD within; for a CV that of
/// the difference of logarithms, √2·√ln(1 + (CV/100)²), the measure taken as log-normal. Assumes that the
/// scatter within a subject is the same for both foods, and that any subject-by-food interaction is in it.
double sdOfDifference(const Spread& spread);

/// How two foods are compared in one subject.
enum class TwoFoodDesign {
    paired,     ///< mean of the differences; df = n − 1
    crossover,  ///< two sequences, the period taken out; df = n − 2
};

/// Standard error of the estimated difference in units of the SD of differences, and its degrees of freedom.
/// paired: √(1/n), n − 1. crossover, n1 + n2 = n as equal as can be: ½·√(1/n1 + 1/n2) (for even n again
/// √(1/n)), n − 2.
struct ErrorOfDifference {
    double se = 0.0;
    double df = 0.0;
};
/// n at least leastSubjects(design).
ErrorOfDifference errorOfDifference(TwoFoodDesign design, std::size_t n);
std::size_t leastSubjects(TwoFoodDesign design);  ///< 2 or 3

}  // namespace aftercurve
