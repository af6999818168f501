#pragma once

#include <string_view>
#include <vector>

#include "core/curve/window.h"

namespace aftercurve {

/// A closed region between a curve and the level that an area is counted from: at time[i] it reaches from
/// lower[i] to upper[i].
struct CountedRegion {
    std::vector<double> timeMin;
    std::vector<double> lower;
    std::vector<double> upper;
    int sign = 1;  ///< −1: this region is subtracted (net incremental area, under baseline)
};

/// What an area measure counts, as regions for a figure: their signed trapezoid areas add up to the measure
/// (a test holds this for every area). Empty where `measureKey` is no area.
std::vector<CountedRegion> countedRegions(const WindowPoints& points, std::string_view measureKey);

}  // namespace aftercurve
