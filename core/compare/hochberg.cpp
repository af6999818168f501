#include "core/compare/hochberg.h"

#include <algorithm>
#include <cstddef>

#include "core/compare/present_p.h"

namespace aftercurve {

std::vector<std::optional<double>> hochbergAdjusted(std::span<const std::optional<double>> p) {
    const std::vector<PresentP> present = presentAscending(p);
    std::vector<std::optional<double>> adjusted(p.size());
    double smallest = 1.0;
    for (std::size_t j = present.size(); j-- > 0;) {
        const auto factor = static_cast<double>(present.size() - j);
        smallest = std::min(smallest, factor * present[j].p);
        adjusted[present[j].index] = smallest;
    }
    return adjusted;
}

}  // namespace aftercurve
