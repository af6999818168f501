#include <gtest/gtest.h>

#include <array>
#include <filesystem>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "core/curve/baseline.h"
#include "core/curve/measures.h"
#include "core/curve/window.h"
#include "core/study/plan.h"
#include "tests/support/close.h"
#include "tests/support/reference_table.h"

namespace aftercurve {
namespace {

using test::isClose;
using test::ReferenceTable;

// Two programs that sum in another order differ by rounding alone: about 10 terms of 1e-16 each, and a factor
// of some 1000 where the rise at a crossing is small.
constexpr test::Tolerance rounding{.relative = 1e-10};

struct Series {
    std::vector<double> timeMin;
    std::vector<double> value;
};

/// Curves of one analyte by "subject food visit"; the files are in order of time. Missing cells are left out.
std::map<std::string, Series> curvesOf(const ReferenceTable& samples, std::string_view analyte) {
    std::map<std::string, Series> curves;
    for (std::size_t row = 0; row < samples.rowCount(); ++row) {
        const std::string key =
            samples.text(row, "subject") + ' ' + samples.text(row, "food") + ' ' + samples.text(row, "visit");
        if (const auto value = samples.number(row, analyte)) {
            curves[key].timeMin.push_back(samples.number(row, "time_min").value());
            curves[key].value.push_back(*value);
        }
    }
    return curves;
}

/// Compares baseline and every measure of one curve with a row of a reference table.
void expectRow(const ReferenceTable& reference, std::size_t row, const Series& series, const Plan& plan,
               double limit) {
    EXPECT_TRUE(isClose(baselineOf(series.timeMin, series.value, plan.baseline),
                        reference.number(row, "baseline"), rounding));
    WindowPoints points = windowPoints(series.timeMin, series.value, plan);
    points.limit = limit;
    ASSERT_EQ(points.usable(), reference.number(row, "area_total").has_value()) << points.notEstimable;
    if (!points.usable()) {
        return;
    }
    for (const Measure& measure : measureList()) {
        EXPECT_TRUE(isClose(measure.compute(points), reference.number(row, measure.key), rounding))
            << measure.key;
    }
}

// Data: set Glucose of the R package nlme (Pinheiro & Bates 2000; Hand & Crowder 1996). Expected: base R,
// tests/reference/meals_by_clock_time.R.
TEST(ClockTimeCurves, EveryMeasureAgreesWithR) {
    const std::filesystem::path folder = TEST_REFERENCE;
    const auto curves = curvesOf(ReferenceTable{folder / "meals_by_clock_time" / "samples.csv"}, "glucose");
    const ReferenceTable reference{folder / "meals_by_clock_time_curves.csv"};
    ASSERT_EQ(curves.size(), 36u);
    ASSERT_EQ(reference.rowCount(), 36u * 4u) << "two windows, two baseline rules";
    for (std::size_t row = 0; row < reference.rowCount(); ++row) {
        Plan plan;
        plan.windowEndMin = reference.number(row, "window_end_min").value();
        const auto rule = baselineRuleFrom(reference.text(row, "baseline_rule"));
        ASSERT_TRUE(rule);
        plan.baseline = *rule;
        const std::string key = reference.text(row, "subject") + ' ' + reference.text(row, "food") + " 1";
        SCOPED_TRACE(key + ", row " + std::to_string(row + 2));
        expectRow(reference, row, curves.at(key), plan, 5.5);
    }
}

// Data: the invented studies. Expected: base R, tests/reference/sample_studies.R. They add insulin, a gap, a
// curve that ends before its window (subject 17) and curves that dip and come back.
TEST(SampleStudyCurves, EveryMeasureAgreesWithR) {
    const std::filesystem::path studies = std::filesystem::path{TEST_SOURCE_ROOT} / "sample_studies";
    const ReferenceTable reference{std::filesystem::path{TEST_REFERENCE} / "sample_studies_curves.csv"};
    std::map<std::string, std::map<std::string, Series>> curves;
    for (const auto& [study, analyte] : {std::array<std::string, 2>{"barley-index", "glucose"},
                                         {"pulse-wafer-crossover", "glucose"},
                                         {"pulse-wafer-crossover", "insulin"},
                                         {"kelp-barley-crisps", "glucose"},
                                         {"kelp-barley-crisps", "insulin"}}) {
        curves[study + ' ' + analyte] = curvesOf(ReferenceTable{studies / study / "samples.csv"}, analyte);
    }
    ASSERT_EQ(reference.rowCount(), 60u + 39u + 39u + 96u + 96u);
    std::size_t notEstimable = 0;
    for (std::size_t row = 0; row < reference.rowCount(); ++row) {
        const std::string& study = reference.text(row, "study");
        Plan plan;
        plan.windowEndMin = study == "pulse-wafer-crossover" ? 180.0 : 120.0;
        const std::string key = reference.text(row, "subject") + ' ' + reference.text(row, "food") + ' ' +
                                reference.text(row, "visit");
        SCOPED_TRACE(study + ": " + key + ", row " + std::to_string(row + 2));
        const Series& series = curves.at(study + ' ' + reference.text(row, "analyte")).at(key);
        EXPECT_EQ(static_cast<double>(series.value.size()), reference.number(row, "samples"));
        expectRow(reference, row, series, plan, reference.text(row, "analyte") == "insulin" ? 200.0 : 7.8);
        notEstimable += reference.number(row, "area_total") ? 0 : 1;
    }
    EXPECT_EQ(notEstimable, 2u) << "subject 17, second period, both analytes";
}

}  // namespace
}  // namespace aftercurve
