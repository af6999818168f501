#include "core/curve/counted_area.h"

#include <algorithm>
#include <cstddef>

namespace aftercurve {

namespace {

CountedRegion wholeOver(const WindowPoints& points, double level) {
    return {points.timeMin, std::vector<double>(points.value.size(), level), points.value, 1};
}

/// Splits a curve at its crossings of the baseline into regions above (sign 1) and under it (sign −1).
std::vector<CountedRegion> regionsAroundBaseline(const WindowPoints& points) {
    const double base = points.baseline;
    std::vector<CountedRegion> regions;
    CountedRegion open;
    const auto add = [&](double t, double v) {
        open.timeMin.push_back(t);
        open.lower.push_back(std::min(v, base));
        open.upper.push_back(std::max(v, base));
    };
    const auto close = [&] {
        if (open.timeMin.size() > 1) {
            regions.push_back(open);
        }
        open = {};
    };
    for (std::size_t i = 1; i < points.value.size(); ++i) {
        const double t0 = points.timeMin[i - 1];
        const double t1 = points.timeMin[i];
        const double a = points.value[i - 1] - base;
        const double b = points.value[i] - base;
        if (a == 0.0 && b == 0.0) {
            close();
            continue;
        }
        const int signHere = a > 0.0 || (a == 0.0 && b > 0.0) ? 1 : -1;
        if (open.timeMin.empty()) {
            open.sign = signHere;
            add(t0, points.value[i - 1]);
        }
        if (a * b < 0.0) {
            const double crossing = t0 + (t1 - t0) * (a / (a - b));
            add(crossing, base);
            close();
            open.sign = -signHere;
            add(crossing, base);
        }
        add(t1, points.value[i]);
        if (b == 0.0) {
            close();
        }
    }
    close();
    return regions;
}

}  // namespace

std::vector<CountedRegion> countedRegions(const WindowPoints& points, std::string_view measureKey) {
    if (!points.usable()) {
        return {};
    }
    if (measureKey == "area_total") {
        return {wholeOver(points, 0.0)};
    }
    if (measureKey == "area_above_minimum") {
        return {wholeOver(points, *std::min_element(points.value.begin(), points.value.end()))};
    }
    const bool net = measureKey == "area_net_incremental";
    const bool firstOnly = measureKey == "area_until_return";
    if (!net && !firstOnly && measureKey != "area_positive_incremental") {
        return {};
    }
    std::vector<CountedRegion> regions = regionsAroundBaseline(points);
    if (!net) {
        std::erase_if(regions, [](const CountedRegion& r) { return r.sign < 0; });
    }
    if (firstOnly && regions.size() > 1) {
        regions.resize(1);
    }
    return regions;
}

}  // namespace aftercurve
