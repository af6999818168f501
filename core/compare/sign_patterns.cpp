#include "core/compare/sign_patterns.h"

#include <cassert>

namespace aftercurve {

std::vector<double> signPatternCounts(std::span<const std::size_t> weight) {
    assert(weight.size() <= mostCountedSigns);
    std::vector<double> count = {1.0};
    for (const std::size_t w : weight) {
        assert(w > 0);
        count.resize(count.size() + w, 0.0);
        // Downwards, so that each weight is added once.
        for (std::size_t s = count.size() - 1; s >= w; --s) {
            count[s] += count[s - w];
        }
    }
    return count;
}

}  // namespace aftercurve
