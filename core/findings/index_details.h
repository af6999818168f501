#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace aftercurve {

/// One estimate of the same index by another way, beside the plan's.
struct IndexWay {
    std::string analyte;
    std::string food;
};

/// The index of two foods compared within subjects.
struct IndexPair {
    std::string analyte;
    std::string food;
    std::string comparator;
};

/// What an index means for one portion: scale, load, response.
struct IndexPortion {
    std::string analyte;
    std::string food;
};

/// The index that the parts of a mixed meal predict, and the one observed.
struct MealFinding {
    std::string food;
};

}  // namespace aftercurve
