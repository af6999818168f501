#pragma once

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <iomanip>
#include <optional>

namespace aftercurve::test {

/// How far two numbers may lie apart: |a − b| ≤ absolute + relative · max(|a|, |b|).
struct Tolerance {
    double absolute = 0.0;
    double relative = 0.0;
};

/// `EXPECT_TRUE(isClose(actual, expected, {.relative = 1e-12}))`. Prints 17 digits on failure; a NaN or an
/// infinity is never close to anything.
inline ::testing::AssertionResult isClose(double actual, double expected, Tolerance tolerance) {
    const double gap = std::abs(actual - expected);
    const double allowed =
        tolerance.absolute + tolerance.relative * std::max(std::abs(actual), std::abs(expected));
    if (std::isfinite(actual) && std::isfinite(expected) && gap <= allowed) {
        return ::testing::AssertionSuccess();
    }
    return ::testing::AssertionFailure() << std::setprecision(17) << "actual " << actual << ", expected "
                                         << expected << ", apart by " << gap << ", allowed " << allowed;
}

/// A missing value fails, with a message, whatever is expected.
inline ::testing::AssertionResult isClose(const std::optional<double>& actual, double expected,
                                          Tolerance tolerance) {
    if (!actual) {
        return ::testing::AssertionFailure()
               << std::setprecision(17) << "the value is absent, expected " << expected;
    }
    return isClose(*actual, expected, tolerance);
}

/// Both absent, or both present and close.
inline ::testing::AssertionResult isClose(const std::optional<double>& actual,
                                          const std::optional<double>& expected, Tolerance tolerance) {
    if (expected) {
        return isClose(actual, *expected, tolerance);
    }
    if (actual) {
        return ::testing::AssertionFailure() << std::setprecision(17) << "expected no value, got " << *actual;
    }
    return ::testing::AssertionSuccess();
}

}  // namespace aftercurve::test
