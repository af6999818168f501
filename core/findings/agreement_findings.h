#pragma once

#include <span>
#include <string>
#include <vector>

#include "core/compare/agreement.h"

namespace aftercurve {

struct ComparisonFinding;

/// One subject: the mean of its two values, and food − comparator.
struct AgreementPoint {
    std::string subject;
    double mean = 0.0;
    double difference = 0.0;
};

/// Difference against mean of one comparison, in the order of Findings::comparisons, with the limits of
/// agreement. Pairs are those of the comparison: replicate visits of a subject are averaged first.
struct AgreementFinding {
    std::string analyte;
    std::string measure;
    std::string unit;
    std::string food;
    std::string comparator;
    std::vector<AgreementPoint> points;
    Agreement limits;
};

/// One for each comparison; `alpha` is the plan's level.
std::vector<AgreementFinding> agreementFindings(std::span<const ComparisonFinding> comparisons, double alpha);

}  // namespace aftercurve
