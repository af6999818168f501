#pragma once

#include <cstddef>
#include <optional>

namespace aftercurve {

/// A share of n independent yes-or-no answers with its exact interval: the limits at which a binomial tail as
/// far as the one seen has probability alpha/2, low = B(alpha/2; x, n − x + 1), high = B(1 − alpha/2; x + 1,
/// n − x), B a quantile of the beta distribution; low is 0 for x = 0, high is 1 for x = n. It covers at least
/// 1 − alpha. n = 0: absent. Source: Clopper & Pearson 1934, Biometrika 26:404.
struct ExactShare {
    std::size_t yes = 0;
    std::size_t n = 0;
    std::optional<double> share;
    std::optional<double> ciLow;
    std::optional<double> ciHigh;
};

/// yes ≤ n, 0 < alpha < 1.
ExactShare exactShare(std::size_t yes, std::size_t n, double alpha);

}  // namespace aftercurve
