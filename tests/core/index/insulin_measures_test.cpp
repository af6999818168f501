// Measures of insulin: published and hand-derived values, R, and the edges.
#include "core/index/insulin_measures.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <limits>
#include <set>

#include "tests/support/close.h"
#include "tests/support/reference_csv.h"

namespace aftercurve {
namespace {

using test::isClose;

/// Glucose in mmol/L, insulin in µIU/mL at 0, 30, 60, 90 and 120 min; a glucose drink.
InsulinVisit visitOf(const std::vector<double>& glucose, const std::vector<double>& insulin) {
    InsulinVisit visit;
    visit.isReference = true;
    visit.glucose.fasting = glucose.front();
    visit.insulin.fasting = insulin.front() * visit.pmolPerUiu;
    const std::vector<double> times{0, 30, 60, 90, 120};
    for (std::size_t i = 0; i < glucose.size(); ++i) {
        visit.glucose.timeMin.push_back(times[i]);
        visit.glucose.value.push_back(glucose[i]);
        visit.insulin.timeMin.push_back(times[i]);
        visit.insulin.value.push_back(insulin[i] * visit.pmolPerUiu);
    }
    return visit;
}

InsulinReading reading(std::string_view key, const InsulinVisit& visit) {
    const auto index = insulinMeasureIndex(key);
    EXPECT_TRUE(index.has_value()) << key;
    return insulinReading(insulinMeasureList()[index.value_or(0)], visit);
}

std::optional<double> value(std::string_view key, double glucose, double insulin) {
    return reading(key, visitOf({glucose}, {insulin})).value;
}

TEST(InsulinMeasures, KeysAreUniqueAndEveryEntryIsWhole) {
    std::set<std::string_view> keys;
    for (const InsulinMeasureKind& kind : insulinMeasureList()) {
        EXPECT_TRUE(keys.insert(kind.key).second) << kind.key;
        EXPECT_FALSE(kind.label.empty() || kind.formula.empty() || kind.validity.empty() ||
                     kind.source.empty());
        EXPECT_FALSE(kind.inputs.empty());
        EXPECT_NE(kind.compute, nullptr);
    }
    for (std::size_t i = 0; i < insulinInputList().size(); ++i) {
        EXPECT_EQ(static_cast<std::size_t>(insulinInputList()[i].input), i);
    }
    EXPECT_EQ(insulinInputList().size(), insulinInputCount);
    EXPECT_EQ(insulinMeasureIndex("nothing"), std::nullopt);
}

// Matthews et al. 1985 (from memory): 4.5 mmol/L and 5 µIU/mL give 1 and 100 %; arithmetic for the others.
TEST(InsulinMeasures, HomaByHand) {
    EXPECT_TRUE(isClose(value("homa_ir", 4.5, 5.0), 1.0, {.relative = 1e-14}));
    EXPECT_TRUE(isClose(value("homa_ir", 5.0, 10.0), 50.0 / 22.5, {.relative = 1e-14}));
    EXPECT_TRUE(isClose(value("inverse_homa_ir", 5.0, 10.0), 0.45, {.relative = 1e-14}));
    EXPECT_TRUE(isClose(value("log_homa_ir", 4.5, 5.0), 0.0, {.absolute = 1e-14}));
    EXPECT_TRUE(isClose(value("homa_b", 4.5, 5.0), 100.0, {.relative = 1e-13}));
    EXPECT_TRUE(isClose(value("homa_b", 5.0, 10.0), 400.0 / 3.0, {.relative = 1e-13}));
}

// Katz et al. 2000: insulin 10 µIU/mL, glucose 90 mg/dL: 1/log10(900).
TEST(InsulinMeasures, QuickiByHand) {
    InsulinVisit visit = visitOf({90.0 / 18.016}, {10.0});
    EXPECT_TRUE(isClose(reading("quicki", visit).value, 1.0 / std::log10(900.0), {.relative = 1e-13}));
    EXPECT_TRUE(isClose(1.0 / std::log10(900.0), 0.33849625, {.absolute = 1e-8}));
    EXPECT_TRUE(isClose(reading("fasting_glucose_insulin_ratio", visit).value, 9.0, {.relative = 1e-13}));
}

// Glucose 90 150 140 120 100 mg/dL, insulin 8 60 70 50 30 µIU/mL: 10000/√(90 · 8 · 120 · 43.6), (60 − 8)/(150
// − 90).
TEST(InsulinMeasures, WholeBodySensitivityByHand) {
    std::vector<double> glucose{90, 150, 140, 120, 100};
    for (double& g : glucose) {
        g /= 18.016;
    }
    const InsulinVisit visit = visitOf(glucose, {8, 60, 70, 50, 30});
    const double whole = 10000.0 / std::sqrt(90.0 * 8.0 * 120.0 * 43.6);
    const double homa = 90.0 / 18.016 * 8.0 / 22.5;
    EXPECT_TRUE(isClose(whole, 5.152285071, {.absolute = 1e-9}));
    EXPECT_TRUE(isClose(reading("whole_body_sensitivity", visit).value, whole, {.relative = 1e-13}));
    EXPECT_TRUE(isClose(reading("insulinogenic_index", visit).value, 52.0 / 60.0, {.relative = 1e-12}));
    EXPECT_TRUE(isClose(reading("insulinogenic_times_inverse_homa", visit).value, 52.0 / 60.0 / homa,
                        {.relative = 1e-12}));
    EXPECT_TRUE(isClose(reading("insulinogenic_times_whole_body", visit).value, 52.0 / 60.0 * whole,
                        {.relative = 1e-12}));
}

// First rows of the fasting values of 2835 women (Altuve & Severeyn 2019, MIT licence): glucose mg/dL ·
// insulin µIU/mL / 405, own arithmetic. The program divides by 22.5 × 18.016 = 405.36 in effect, which is
// 0.09 % less.
TEST(InsulinMeasures, HomaOfPublishedFastingValues) {
    const std::vector<std::array<double, 3>> rows{{79, 4, 0.7802},    {82, 7.91, 1.6015},
                                                  {98, 8.43, 2.0399}, {102, 26.9, 6.7748},
                                                  {85, 6.16, 1.2928}, {104, 36.8, 9.4499}};
    for (const auto& [glucose, insulin, expected] : rows) {
        EXPECT_TRUE(isClose(value("homa_ir", glucose / 18.0, insulin), expected, {.absolute = 6e-5}));
        const auto converted = value("homa_ir", glucose / 18.016, insulin);
        EXPECT_TRUE(isClose(converted, glucose * insulin / 405.36, {.relative = 1e-13}));
        EXPECT_TRUE(isClose(converted, expected, {.relative = 0.00096}));
    }
}

TEST(InsulinMeasures, AgreesWithR) {
    const auto rows = test::readReference("insulin_measures.csv");
    std::size_t checked = 0;
    for (const test::ReferenceRow& row : rows) {
        std::vector<double> glucose;
        std::vector<double> insulin;
        InsulinCurve peptide;
        for (const char* time : {"0", "30", "60", "90", "120"}) {
            glucose.push_back(*row.number(std::string{"glucose_"} + time));
            insulin.push_back(*row.number(std::string{"insulin_"} + time));
            peptide.timeMin.push_back(std::stod(time));
            peptide.value.push_back(*row.number(std::string{"c_peptide_"} + time));
        }
        InsulinVisit visit = visitOf(glucose, insulin);
        visit.cPeptide = peptide;
        visit.cPeptide.fasting = peptide.value.front();
        visit.cPeptide.areaTotal = row.number("c_peptide_total");
        visit.glucose.areaTotal = row.number("glucose_total");
        visit.glucose.areaIncremental = row.number("glucose_increment");
        visit.insulin.areaTotal = row.number("insulin_total");
        visit.insulin.areaIncremental = row.number("insulin_increment");
        for (const InsulinMeasureKind& kind : insulinMeasureList()) {
            EXPECT_TRUE(isClose(insulinReading(kind, visit).value, row.number(std::string{kind.key}),
                                {.absolute = 1e-12, .relative = 1e-10}))
                << kind.key << ", case " << row.text("case");
            ++checked;
        }
    }
    EXPECT_EQ(checked, 60U * 15U);
}

TEST(InsulinMeasures, ADenominatorThatIsNotAboveZeroIsAbsentWithTheReason) {
    EXPECT_EQ(reading("homa_b", visitOf({3.5}, {5.0})).absentBecause,
              "fasting glucose is not above 3.5 mmol/L");
    EXPECT_EQ(value("homa_b", 2.9, 5.0), std::nullopt);
    EXPECT_EQ(value("quicki", 0.05, 1.0), std::nullopt);  // log10(0.9) < 0
    EXPECT_EQ(value("quicki", 5.0, 0.0), std::nullopt);
    EXPECT_EQ(value("homa_ir", 5.0, 0.0), 0.0);
    EXPECT_EQ(value("inverse_homa_ir", 5.0, 0.0), std::nullopt);
    EXPECT_EQ(value("log_homa_ir", 5.0, 0.0), std::nullopt);
    EXPECT_EQ(value("fasting_glucose_insulin_ratio", 5.0, 0.0), std::nullopt);
    // Falling, level, and level but for the rounding of a mean.
    for (const double later : {4.0, 5.1, std::nextafter(5.1, 6.0)}) {
        const InsulinReading early = reading("insulinogenic_index", visitOf({5.1, later}, {5.0, 9.0}));
        EXPECT_EQ(early.value, std::nullopt);
        EXPECT_EQ(early.absentBecause, "glucose does not rise from fasting to 30 min");
    }
    // Insulin may fall.
    EXPECT_TRUE(isClose(reading("insulinogenic_index", visitOf({5.0, 7.0}, {9.0, 5.0})).value, -4.0 / 36.032,
                        {.relative = 1e-13}));
}

TEST(InsulinMeasures, MissingInputsAreNamed) {
    InsulinVisit visit = visitOf({5, 7, 6, 5, 5}, {5, 50, 40, 20, 10});
    visit.insulin.timeMin.erase(visit.insulin.timeMin.begin() + 3);
    visit.insulin.value.erase(visit.insulin.value.begin() + 3);
    EXPECT_EQ(reading("whole_body_sensitivity", visit).absentBecause, "no insulin sample at 90 min");
    EXPECT_TRUE(reading("insulinogenic_index", visit).value.has_value());
    visit.isReference = false;
    EXPECT_EQ(reading("whole_body_sensitivity", visit).absentBecause,
              "derived for a drink of glucose, and this food is not the reference");
    visit.insulin.absentBecause = "insulin excluded: haemolysed";
    visit.glucose.fasting.reset();
    EXPECT_EQ(reading("homa_ir", visit).absentBecause, "no fasting glucose; insulin excluded: haemolysed");
    visit = visitOf({5, 7, 6, 5, 5}, {5, 50, 40, 20, 10});
    visit.glucose.timeMin[2] = 30.0;
    EXPECT_EQ(reading("insulinogenic_index", visit).absentBecause,
              "two glucose samples are planned at 30 min");
    EXPECT_EQ(reading("insulin_glucose_area_ratio", visit).absentBecause,
              "no area of glucose in the window; no area of insulin in the window");
}

TEST(InsulinMeasures, ValuesOutsideWhatTheMeasureIsForAreMarked) {
    EXPECT_TRUE(reading("homa_ir", visitOf({5.0}, {1.0})).remark.empty());
    EXPECT_FALSE(reading("homa_ir", visitOf({5.0}, {0.99})).remark.empty());
    EXPECT_FALSE(reading("quicki", visitOf({7.0}, {9.0})).remark.empty());
    EXPECT_FALSE(reading("homa_b", visitOf({3.9}, {9.0})).remark.empty());
    EXPECT_FALSE(reading("insulinogenic_index", visitOf({5.0, 5.4}, {5.0, 9.0})).remark.empty());
}

// Never a number that is not one, and no 0 that an overflow left behind.
TEST(InsulinMeasures, ExtremeValuesGiveAFiniteNumberOrAReason) {
    const std::vector<double> sizes{0.0, 1e-300, 1e-12, 1.0, 1e12, 1e300, std::numeric_limits<double>::max()};
    for (const double g : sizes) {
        for (const double i : sizes) {
            for (const double later : sizes) {
                InsulinVisit visit = visitOf({g, later, later, g, g}, {i, later, i, i, i});
                visit.insulin.fasting = i;
                visit.insulin.value = {i, later, i, i, i};
                visit.cPeptide = visit.insulin;
                for (InsulinCurve* curve : {&visit.glucose, &visit.insulin, &visit.cPeptide}) {
                    curve->areaTotal = curve->value[1];
                    curve->areaIncremental = curve->value[0];
                }
                for (const InsulinMeasureKind& kind : insulinMeasureList()) {
                    const InsulinReading found = insulinReading(kind, visit);
                    EXPECT_NE(found.value.has_value(), !found.absentBecause.empty()) << kind.key;
                    EXPECT_TRUE(std::isfinite(found.value.value_or(0.0))) << kind.key;
                }
                const InsulinReading whole = reading("whole_body_sensitivity", visit);
                EXPECT_FALSE(whole.value == 0.0);
            }
        }
    }
    EXPECT_EQ(value("quicki", std::numeric_limits<double>::max(), 1.0), std::nullopt);
}

TEST(InsulinMeasures, AnIncrementOfRoundingCountsAsNone) {
    InsulinVisit visit = visitOf({5}, {5});
    visit.glucose.areaTotal = 600.0;
    visit.glucose.areaIncremental = 1e-13;
    visit.insulin.areaTotal = 3600.0;
    visit.insulin.areaIncremental = 1200.0;
    const InsulinReading found = reading("insulin_glucose_increment_ratio", visit);
    EXPECT_EQ(found.value, std::nullopt);
    EXPECT_EQ(found.absentBecause, "the incremental area of glucose is 0");
}

}  // namespace
}  // namespace aftercurve
