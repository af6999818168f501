#include "core/compare/present_p.h"

#include <algorithm>

namespace aftercurve {

std::vector<PresentP> presentAscending(std::span<const std::optional<double>> p) {
    std::vector<PresentP> present;
    for (std::size_t i = 0; i < p.size(); ++i) {
        // A NaN fails both comparisons, so that it cannot spread to its neighbours.
        if (p[i] && *p[i] >= 0.0 && *p[i] <= 1.0) {
            present.push_back({*p[i], i});
        }
    }
    std::sort(present.begin(), present.end(), [](const PresentP& a, const PresentP& b) { return a.p < b.p; });
    return present;
}

}  // namespace aftercurve
