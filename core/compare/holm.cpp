#include "core/compare/holm.h"

#include <algorithm>
#include <cstddef>

#include "core/compare/present_p.h"

namespace aftercurve {

std::vector<std::optional<double>> holmAdjusted(std::span<const std::optional<double>> p) {
    const std::vector<PresentP> present = presentAscending(p);
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
