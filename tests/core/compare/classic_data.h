#pragma once

#include <vector>

namespace aftercurve::test {

/// Student 1908, Biometrika 6:1, hours of sleep gained with two drugs; R data set `sleep`, package datasets.
inline const std::vector<double> sleepFirst = {0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0};
inline const std::vector<double> sleepSecond = {1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4};

/// Hollander & Wolfe 1973, p. 29, depression scale before and after; from memory, as in R's help on
/// wilcox.test.
inline const std::vector<double> depressionBefore = {1.83, 0.50, 1.62, 2.48, 1.68, 1.88, 1.55, 3.06, 1.30};
inline const std::vector<double> depressionAfter = {0.878, 0.647, 0.598, 2.05, 1.06, 1.29, 1.06, 3.14, 1.29};

}  // namespace aftercurve::test
