#pragma once

#include <limits>
#include <string>
#include <vector>

namespace aftercurve::test {

/// Sets of pairs that no method may answer with a number that is not finite.
struct HostilePairs {
    std::string name;
    std::vector<double> food;
    std::vector<double> comparator;
};

inline std::vector<HostilePairs> hostilePairs() {
    constexpr double nan = std::numeric_limits<double>::quiet_NaN();
    constexpr double infinity = std::numeric_limits<double>::infinity();
    constexpr double largest = std::numeric_limits<double>::max();
    return {
        {"none", {}, {}},
        {"one", {5.0}, {3.0}},
        {"two", {5.0, 4.0}, {3.0, 1.0}},
        {"all equal", {2.0, 2.0, 2.0, 2.0}, {2.0, 2.0, 2.0, 2.0}},
        {"constant difference", {0.3, 0.2, 0.4, 1.1}, {0.2, 0.1, 0.3, 1.0}},
        {"constant ratio", {2.0, 4.0, 6.0, 8.0}, {1.0, 2.0, 3.0, 4.0}},
        {"zeros", {0.0, 0.0, 0.0, 0.0}, {0.0, 0.0, 0.0, 0.0}},
        {"comparator zero", {1.0, 2.0, 3.0, 5.0}, {0.0, 0.0, 0.0, 0.0}},
        {"comparator mean zero", {1.0, 2.0, 3.0, 5.0}, {0.3, -0.1, -0.2, 0.0}},
        {"negative", {-1.0, -2.0, -3.0, -5.0}, {-2.0, -1.0, -4.0, -4.5}},
        {"NaN", {1.0, nan, 3.0, 4.0}, {1.0, 2.0, 3.0, 5.0}},
        {"infinite", {1.0, 2.0, 3.0, 4.0}, {1.0, infinity, 3.0, 5.0}},
        {"tiny", {1e-300, 2e-300, 4e-300, 3e-300}, {2e-300, 1e-300, 1e-300, 1e-300}},
        {"huge", {1e300, 2e300, 4e300, 3e300}, {2e300, 1e300, 1e300, 1e300}},
        {"largest", {largest, -largest, largest, 0.0}, {-largest, largest, -largest, largest}},
        {"mixed", {1e-300, 1e300, 1.0, 2.0}, {1.0, 1e-300, 1e300, 3.0}},
        {"denormal", {5e-324, 1e-323, 2e-323, 1.5e-323}, {1e-323, 5e-324, 5e-324, 1e-323}},
        {"one far out", {1.0, 1.0, 1.0, 1e9}, {0.0, 0.0, 0.0, 0.0}},
    };
}

}  // namespace aftercurve::test
