#include "core/findings/adjusted_p.h"

#include "core/compare/holm.h"

namespace aftercurve {

std::vector<std::optional<double>> adjustedP(Multiplicity rule,
                                             std::span<const std::optional<double>> family) {
    if (rule == Multiplicity::holm) {
        return holmAdjusted(family);
    }
    return {family.begin(), family.end()};
}

}  // namespace aftercurve
