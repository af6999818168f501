// Proportional odds with a subject effect against R on 24 invented studies: tests/reference/ordinal.R, where
// each fit is made on fixed points and by a package (ordinal's clmm, lme4's glmer, MASS's polr).
#include <gtest/gtest.h>

#include <map>
#include <sstream>
#include <string>
#include <vector>

#include "core/compare/ordinal_mixed.h"
#include "tests/support/close.h"
#include "tests/support/reference_csv.h"

namespace aftercurve {
namespace {

using test::isClose;
using test::readReference;
using test::ReferenceRow;

constexpr test::Tolerance sixDigits{.absolute = 2e-6, .relative = 2e-6};
const OrdinalOptions fine{.quadraturePoints =
                              63};    // the script's sum over fixed points is exact to 10 digits
constexpr std::size_t boundFits = 4;  // of the studies, the number whose sigma is 0 in ordinal_fits.csv

std::size_t wholeOf(const ReferenceRow& row, const std::string& column) {
    return static_cast<std::size_t>(row.number(column).value());
}

std::map<std::string, std::vector<OrdinalRow>> readStudies() {
    std::map<std::string, std::vector<OrdinalRow>> studies;
    for (const ReferenceRow& row : readReference("ordinal_rows.csv")) {
        studies[row.text("study")].push_back(
            {wholeOf(row, "subject"), wholeOf(row, "group"), wholeOf(row, "category")});
    }
    return studies;
}

TEST(OrdinalMixedAgainstR, ThresholdsSpreadAndLikelihood) {
    const auto studies = readStudies();
    ASSERT_EQ(studies.size(), 24U);
    std::size_t atBound = 0;
    std::size_t withPackage = 0;
    for (const ReferenceRow& row : readReference("ordinal_fits.csv")) {
        const std::string name = row.text("study");
        const OrdinalMixed r = ordinalMixed(studies.at(name), fine);
        ASSERT_TRUE(r.usable()) << name << ": " << r.absentBecause;
        EXPECT_EQ(r.n, wholeOf(row, "scores")) << name;
        EXPECT_EQ(r.subjects, wholeOf(row, "subjects")) << name;
        std::istringstream thresholds(row.text("thresholds"));
        for (const double threshold : r.thresholds) {
            double expected = 0.0;
            ASSERT_TRUE(thresholds >> expected) << name;
            EXPECT_TRUE(isClose(threshold, expected, sixDigits)) << name;
        }
        EXPECT_EQ(r.thresholds.size() + 1, wholeOf(row, "categories")) << name;
        EXPECT_TRUE(isClose(r.subjectSd, row.number("sigma"), sixDigits)) << name;
        EXPECT_TRUE(isClose(r.logLikelihood, row.number("log_likelihood"), sixDigits)) << name;
        EXPECT_TRUE(isClose(r.likelihoodRatio, row.number("ratio"), sixDigits)) << name;
        EXPECT_TRUE(isClose(r.p, row.number("p"), {.absolute = 1e-12, .relative = 1e-5})) << name;
        EXPECT_EQ(r.df, row.number("groups").value() - 1.0);
        // The package's quadrature has 21 points too.
        if (row.number("package_log_likelihood") && *r.subjectSd > 0.0) {
            EXPECT_TRUE(isClose(ordinalMixed(studies.at(name)).logLikelihood,
                                row.number("package_log_likelihood"), {.absolute = 1e-6}))
                << name;
            ++withPackage;
        }
        atBound += *r.subjectSd == 0.0 ? 1U : 0U;
        EXPECT_EQ(*r.subjectSd == 0.0, r.note.find("at its bound") != std::string::npos) << name;
    }
    EXPECT_EQ(atBound, boundFits);
    EXPECT_GE(withPackage, 10U);
}

TEST(OrdinalMixedAgainstR, EffectsWithTheirErrorsAndIntervals) {
    const auto studies = readStudies();
    std::map<std::string, OrdinalMixed> fits;
    for (const auto& [name, rows] : studies) {
        fits[name] = ordinalMixed(rows, fine);
    }
    std::size_t compared = 0;
    for (const ReferenceRow& row : readReference("ordinal_effects.csv")) {
        const std::string name = row.text("study");
        const OrdinalEffect& effect = fits.at(name).effects.at(wholeOf(row, "group") - 1);
        EXPECT_TRUE(isClose(effect.logOdds, row.number("log_odds"), sixDigits)) << name;
        EXPECT_TRUE(isClose(effect.se, row.number("se"), {.relative = 2e-5})) << name;
        EXPECT_TRUE(isClose(effect.ciLow, row.number("ci_low"), {.absolute = 3e-5, .relative = 2e-5}))
            << name;
        EXPECT_TRUE(isClose(effect.ciHigh, row.number("ci_high"), {.absolute = 3e-5, .relative = 2e-5}))
            << name;
        EXPECT_TRUE(isClose(effect.p, row.number("p"), {.absolute = 1e-10, .relative = 1e-4})) << name;
        ++compared;
    }
    EXPECT_GE(compared, 50U);
}

// One point is Laplace's approximation, where the gradient hangs on mode and curvature most. The package
// stops its search below the top there, so that this maximum may be a little higher, never lower.
TEST(OrdinalMixedAgainstR, OnePointIsLaplace) {
    const auto studies = readStudies();
    OrdinalOptions laplace;
    laplace.quadraturePoints = 1;
    std::size_t compared = 0;
    for (const ReferenceRow& row : readReference("ordinal_fits.csv")) {
        if (row.number("laplace_log_likelihood")) {
            const OrdinalMixed r = ordinalMixed(studies.at(row.text("study")), laplace);
            const double package = row.number("laplace_log_likelihood").value();
            EXPECT_TRUE(isClose(r.logLikelihood, package, {.absolute = 1e-3})) << row.text("study");
            EXPECT_GE(*r.logLikelihood, package - 1e-7) << row.text("study");
            ++compared;
        }
    }
    EXPECT_GE(compared, 10U);
}

}  // namespace
}  // namespace aftercurve
