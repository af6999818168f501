#include "core/compare/benjamini_hochberg.h"

#include <algorithm>
#include <cstddef>

#include "core/compare/present_p.h"

namespace aftercurve {

std::vector<std::optional<double>> benjaminiHochbergAdjusted(std::span<const std::optional<double>> p) {
    const std::vector<PresentP> present = presentAscending(p);
    const auto m = static_cast<double>(present.size());
    std::vector<std::optional<double>> adjusted(p.size());
    double smallest = 1.0;
    for (std::size_t j = present.size(); j-- > 0;) {
        smallest = std::min(smallest, m / static_cast<double>(j + 1) * present[j].p);
        adjusted[present[j].index] = smallest;
    }
    return adjusted;
}

}  // namespace aftercurve
