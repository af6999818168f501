#include "core/compare/holm.h"

#include <algorithm>
#include <cstddef>

namespace aftercurve {

std::vector<std::optional<double>> holmAdjusted(std::span<const std::optional<double>> p) {
    struct Present {
        double p;
        std::size_t index;
    };
    std::vector<Present> present;
    for (std::size_t i = 0; i < p.size(); ++i) {
        // A NaN fails both comparisons, so that it cannot spread to its neighbours.
        if (p[i] && *p[i] >= 0.0 && *p[i] <= 1.0) {
            present.push_back({*p[i], i});
        }
    }
    std::sort(present.begin(), present.end(), [](const Present& a, const Present& b) { return a.p < b.p; });

    std::vector<std::optional<double>> adjusted(p.size());
    double largest = 0.0;
    for (std::size_t j = 0; j < present.size(); ++j) {
        const auto factor = static_cast<double>(present.size() - j);
        largest = std::max(largest, std::min(1.0, factor * present[j].p));
        adjusted[present[j].index] = largest;
    }
    return adjusted;
}

}  // namespace aftercurve
