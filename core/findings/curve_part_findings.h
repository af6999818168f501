#pragma once

#include <string>
#include <vector>

namespace aftercurve {

/// One part of the window of one curve.
struct CurvePart {
    std::string subject;
};

/// One part of the window over the subjects of a food, and against the comparator.
struct CurvePartFinding {
    std::string food;
};

/// How far repeated visits of the same subject and food lie apart.
struct WithinSubjectFinding {
    std::string food;
};

}  // namespace aftercurve
