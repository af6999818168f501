#pragma once

#include <string>
#include <vector>

namespace aftercurve {

/// What one food's portion holds, and how it is matched to the other foods.
struct PortionFinding {
    std::string food;
};

}  // namespace aftercurve
