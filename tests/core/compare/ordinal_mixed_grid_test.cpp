// The fit held against the likelihood as any textbook writes it, summed here over 361 fixed points of the
// subject's shift (trapezoids; no code is shared with the program): its value, a gradient of 0, and the
// second derivatives behind the SE, all by differences.
#include <gtest/gtest.h>

#include <Eigen/Dense>
#include <cmath>
#include <map>
#include <numbers>
#include <vector>

#include "core/compare/ordinal_mixed.h"
#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;

double logistic(double x) {
    return 1.0 / (1.0 + std::exp(-x));
}

/// x: three thresholds, two effects, σ.
double logLikelihood(const std::vector<OrdinalRow>& rows, const Eigen::VectorXd& x) {
    const double step = 0.05;
    std::map<std::size_t, std::vector<double>> bySubject;  // log density of the scores, by point
    for (const OrdinalRow& row : rows) {
        std::vector<double>& sum = bySubject.try_emplace(row.subject, 361, 0.0).first->second;
        for (int i = 0; i < 361; ++i) {
            const double eta = (row.group == 0 ? 0.0 : x[static_cast<Eigen::Index>(2 + row.group)]) +
                               x[5] * step * (i - 180);
            const auto upTo = [&](std::size_t j) {  // P(Y ≤ j − 1)
                return j == 0 ? 0.0 : j == 4 ? 1.0 : logistic(x[static_cast<Eigen::Index>(j - 1)] - eta);
            };
            sum[static_cast<std::size_t>(i)] += std::log(upTo(row.category + 1) - upTo(row.category));
        }
    }
    double total = 0.0;
    for (const auto& [subject, sum] : bySubject) {
        double integral = 0.0;
        for (int i = 0; i < 361; ++i) {
            const double v = step * (i - 180);
            integral += step * std::exp(sum[static_cast<std::size_t>(i)] - 0.5 * v * v);
        }
        total += std::log(integral / std::sqrt(2.0 * std::numbers::pi));
    }
    return total;
}

/// Invented scores of 13 subjects in three groups; '-' is no score.
std::vector<OrdinalRow> scores() {
    const std::vector<std::string> subjects{"012", "001", "123", "112", "000", "232", "01-",
                                            "122", "001", "333", "-01", "210", "113"};
    std::vector<OrdinalRow> rows;
    for (std::size_t s = 0; s < subjects.size(); ++s) {
        for (std::size_t g = 0; g < 3; ++g) {
            if (subjects[s][g] != '-') {
                rows.push_back({s, g, static_cast<std::size_t>(subjects[s][g] - '0')});
            }
        }
    }
    return rows;
}

TEST(OrdinalMixedOnFixedPoints, TheEstimatesAreItsMaximum) {
    const std::vector<OrdinalRow> rows = scores();
    const OrdinalMixed r = ordinalMixed(rows);
    ASSERT_TRUE(r.usable()) << r.absentBecause;
    ASSERT_EQ(r.thresholds.size(), 3U);
    ASSERT_GT(*r.subjectSd, 1.0);
    Eigen::VectorXd x(6);
    x << r.thresholds[0], r.thresholds[1], r.thresholds[2], *r.effects[0].logOdds, *r.effects[1].logOdds,
        *r.subjectSd;
    EXPECT_TRUE(isClose(r.logLikelihood, logLikelihood(rows, x), {.absolute = 1e-6}));
    const double h = 1e-3;
    const auto moved = [&](Eigen::Index i, double by, Eigen::Index j, double also) {
        Eigen::VectorXd y = x;
        y[i] += by;
        y[j] += also;
        return logLikelihood(rows, y);
    };
    Eigen::MatrixXd information(6, 6);
    for (Eigen::Index i = 0; i < 6; ++i) {
        EXPECT_NEAR((moved(i, h, i, 0.0) - moved(i, -h, i, 0.0)) / (2.0 * h), 0.0, 2e-5) << i;
        for (Eigen::Index j = 0; j < 6; ++j) {
            information(i, j) =
                -(moved(i, h, j, h) - moved(i, h, j, -h) - moved(i, -h, j, h) + moved(i, -h, j, -h)) /
                (4.0 * h * h);
        }
    }
    const Eigen::MatrixXd covariance = information.inverse();
    EXPECT_TRUE(isClose(r.effects[0].se, std::sqrt(covariance(3, 3)), {.relative = 2e-5}));
    EXPECT_TRUE(isClose(r.effects[1].se, std::sqrt(covariance(4, 4)), {.relative = 2e-5}));
}

}  // namespace
}  // namespace aftercurve
