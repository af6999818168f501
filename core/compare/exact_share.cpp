#include "core/compare/exact_share.h"

#include <cassert>

#include "core/compare/distributions.h"

namespace aftercurve {

ExactShare exactShare(std::size_t yes, std::size_t n, double alpha) {
    assert(yes <= n && alpha > 0.0 && alpha < 1.0);
    ExactShare result;
    result.yes = yes;
    result.n = n;
    if (n == 0) {
        return result;
    }
    const auto x = static_cast<double>(yes);
    const auto rest = static_cast<double>(n - yes);
    result.share = x / static_cast<double>(n);
    result.ciLow = yes == 0 ? std::optional{0.0} : betaQuantile(0.5 * alpha, x, rest + 1.0);
    result.ciHigh = yes == n ? std::optional{1.0} : betaQuantile(1.0 - 0.5 * alpha, x + 1.0, rest);
    return result;
}

}  // namespace aftercurve
