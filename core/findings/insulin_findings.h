#pragma once

#include <string>
#include <vector>

namespace aftercurve {

/// One measure of insulin action or secretion of one visit.
struct InsulinMeasure {
    std::string subject;
};

/// The same over the subjects of a food, and against the comparator.
struct InsulinSummary {
    std::string food;
};

}  // namespace aftercurve
