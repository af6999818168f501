#include "core/compare/within_subject.h"

#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <limits>
#include <map>
#include <string>
#include <vector>

#include "tests/support/close.h"
#include "tests/support/reference_table.h"

namespace aftercurve {
namespace {

using Groups = std::vector<std::vector<double>>;

constexpr test::Tolerance eightDigits{.absolute = 1e-12, .relative = 1e-8};

// FAO Food and Nutrition Paper 66 (1998), Table 1: the areas of the three standards of one subject, exact
// from its concentrations (printed rounded as 114, 155, 179). Mean 149.455556, SD 32.992197, CV 22.0749 %.
TEST(WithinSubject, ThreeStandardsOfFao1998) {
    const WithinSubject w = withinSubject(Groups{{113.95, 155.25, 179.0 + 1.0 / 6.0}});
    EXPECT_EQ(w.repeated, 1u);
    EXPECT_EQ(w.repeats, 3u);
    EXPECT_EQ(w.df, 2.0);
    EXPECT_NEAR(w.sd.value(), 32.992197, 5e-7);
    EXPECT_NEAR(w.cvRmsPercent.value(), 22.0749, 5e-5);
    EXPECT_NEAR(w.cvMeanPercent.value(), 22.0749, 5e-5);
    EXPECT_NEAR(w.repeatabilityLimit.value(), 1.96 * std::sqrt(2.0) * 32.992197, 1e-5);
    EXPECT_EQ(w.betweenSd, std::nullopt);
    EXPECT_EQ(w.intraclass, std::nullopt);
    EXPECT_EQ(w.note, "one subject: nothing between subjects");
}

// By hand: means 2 and 6, within squares 2 + 2 on 2 degrees of freedom, between squares 16 on 1.
TEST(WithinSubject, TwoSubjectsByHand) {
    const WithinSubject w = withinSubject(Groups{{1.0, 3.0}, {}, {5.0, 7.0}});
    EXPECT_EQ(w.subjects, 2u);
    EXPECT_DOUBLE_EQ(w.sd.value(), std::sqrt(2.0));
    EXPECT_DOUBLE_EQ(w.betweenSd.value(), std::sqrt(7.0));
    EXPECT_DOUBLE_EQ(w.intraclass.value(), 7.0 / 9.0);
    const double first = 100.0 * std::sqrt(2.0) / 2.0;
    const double second = 100.0 * std::sqrt(2.0) / 6.0;
    EXPECT_DOUBLE_EQ(w.cvMeanPercent.value(), (first + second) / 2.0);
    EXPECT_DOUBLE_EQ(w.cvRmsPercent.value(), std::sqrt((first * first + second * second) / 2.0));
    EXPECT_EQ(w.note, "");
}

// Expected: aov of base R, tests/reference/within_subject.R.
TEST(WithinSubject, AgreesWithR) {
    const std::filesystem::path folder = TEST_REFERENCE;
    const test::ReferenceTable cases{folder / "within_subject_cases.csv"};
    const test::ReferenceTable expected{folder / "within_subject_expected.csv"};
    std::map<std::string, std::map<std::string, std::vector<double>>> values;
    for (std::size_t row = 0; row < cases.rowCount(); ++row) {
        values[cases.text(row, "case")][cases.text(row, "subject")].push_back(
            cases.number(row, "value").value());
    }
    ASSERT_GT(expected.rowCount(), 5u);
    for (std::size_t row = 0; row < expected.rowCount(); ++row) {
        const std::string name = expected.text(row, "case");
        SCOPED_TRACE(name);
        Groups groups;
        for (const auto& [subject, value] : values.at(name)) {
            groups.push_back(value);
        }
        const WithinSubject w = withinSubject(groups);
        const auto close = [&](std::optional<double> value, const char* column) {
            EXPECT_TRUE(test::isClose(value, expected.number(row, column), eightDigits)) << column;
        };
        close(static_cast<double>(w.subjects), "subjects");
        close(static_cast<double>(w.repeated), "repeated");
        close(static_cast<double>(w.repeats), "visits");
        close(w.df, "df");
        close(w.sd, "within_sd");
        close(w.cvRmsPercent, "cv_rms_percent");
        close(w.cvMeanPercent, "cv_mean_percent");
        close(w.betweenSd, "between_sd");
        close(w.intraclass, "intraclass");
        close(w.repeatabilityLimit, "repeatability_limit");
    }
}

TEST(WithinSubject, NothingToTell) {
    for (const Groups& groups : {Groups{}, Groups{{}}, Groups{{1.0}}, Groups{{1.0}, {2.0}, {}}}) {
        const WithinSubject w = withinSubject(groups);
        EXPECT_EQ(w.sd, std::nullopt);
        EXPECT_EQ(w.df, std::nullopt);
        EXPECT_EQ(w.betweenSd, std::nullopt);
        EXPECT_EQ(w.repeatabilityLimit, std::nullopt);
        EXPECT_EQ(w.absentBecause, "no subject with two visits that count");
    }
}

TEST(WithinSubject, AllEqual) {
    const WithinSubject w = withinSubject(Groups{{2.0, 2.0}, {2.0, 2.0, 2.0}});
    EXPECT_EQ(w.sd, 0.0);
    EXPECT_EQ(w.betweenSd, 0.0);
    EXPECT_EQ(w.intraclass, std::nullopt);
    EXPECT_EQ(w.cvRmsPercent, 0.0);
    EXPECT_EQ(w.note, "all values are equal: no intraclass correlation");
    // Equal but for the rounding of decimals.
    EXPECT_EQ(withinSubject(Groups{{0.3, 0.1 + 0.2}, {0.3, 0.3}}).sd, 0.0);
}

TEST(WithinSubject, BetweenBelowZeroIsSetToZeroAndSaid) {
    const WithinSubject w = withinSubject(Groups{{1.0, 9.0}, {2.0, 8.0}});
    EXPECT_EQ(w.betweenSd, 0.0);
    EXPECT_EQ(w.intraclass, 0.0);
    EXPECT_EQ(w.note, "between-subject variance estimated below 0 and set to 0");
}

TEST(WithinSubject, NoCvWhereAMeanIsNotAboveZero) {
    const WithinSubject w = withinSubject(Groups{{-1.0, 1.0}, {5.0, 7.0}});
    EXPECT_TRUE(w.sd);
    EXPECT_EQ(w.cvRmsPercent, std::nullopt);
    EXPECT_EQ(w.cvMeanPercent, std::nullopt);
    EXPECT_NE(w.note.find("no CV"), std::string::npos);
}

TEST(WithinSubject, NotFiniteIsAbsentWithTheReason) {
    for (const double bad : {std::numeric_limits<double>::infinity(), std::nan("")}) {
        const WithinSubject w = withinSubject(Groups{{1.0, bad}, {1.0, 2.0}});
        EXPECT_EQ(w.sd, std::nullopt);
        EXPECT_FALSE(w.absentBecause.empty());
    }
}

TEST(WithinSubject, ScalesFromVerySmallToVeryLarge) {
    const Groups groups{{1.0, 3.0}, {5.0, 7.0}, {4.0}};
    const WithinSubject plain = withinSubject(groups);
    for (const int exponent : {-990, -40, 40, 1000}) {
        Groups scaled = groups;
        for (auto& group : scaled) {
            for (double& value : group) {
                value = std::ldexp(value, exponent);
            }
        }
        const WithinSubject w = withinSubject(scaled);
        EXPECT_EQ(w.sd, std::ldexp(*plain.sd, exponent));
        EXPECT_EQ(w.betweenSd, std::ldexp(*plain.betweenSd, exponent));
        EXPECT_EQ(w.cvRmsPercent, plain.cvRmsPercent);
        EXPECT_EQ(w.intraclass, plain.intraclass);
    }
    // Mixed scales: nothing that is not a number.
    const WithinSubject mixed = withinSubject(Groups{{1e-300, 1e300}, {1e300, 1e300}});
    EXPECT_TRUE(std::isfinite(mixed.sd.value()));
}

}  // namespace
}  // namespace aftercurve
