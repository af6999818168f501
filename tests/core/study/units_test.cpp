#include "core/study/units.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aftercurve {
namespace {

using testing::AllOf;
using testing::HasSubstr;

// One division or product of two doubles away from the decimal value, and factors of up to 1000.
constexpr double relativeTolerance = 4e-16;

double factor(std::string_view analyte, std::string_view from, std::string_view to,
              const ConversionOptions& options = {}) {
    const auto found = conversionFactor(analyte, from, to, options);
    EXPECT_TRUE(found.ok());
    return found ? found.value() : 0.0;
}

TEST(Units, GlucoseFollowsTheMolarMass) {
    // 1 mmol/L = 18.016 mg/dL (molar mass 180.16 g/mol, from memory).
    EXPECT_DOUBLE_EQ(factor("glucose", "mmol/L", "mg/dL"), 18.016);
    // 100 mg/dL = 5.550622 mmol/L with 18.016 (from memory, arithmetic checked by hand to 7 digits).
    EXPECT_NEAR(100.0 * factor("glucose", "mg/dL", "mmol/L"), 5.550622, 5e-7);
    // 126 mg/dL, the diagnostic limit that is written as 7.0 mmol/L (from memory): equal at one decimal.
    EXPECT_NEAR(126.0 * factor("glucose", "mg/dL", "mmol/L"), 7.0, 0.05);
}

TEST(Units, InsulinUsesTheInternationalStandardUnlessAskedOtherwise) {
    // 6.00 pmol per µIU, WHO standard 66/304; 6.945 legacy (both from memory). Whole factors are exact.
    EXPECT_EQ(factor("insulin", "µIU/mL", "pmol/L"), 6.0);
    EXPECT_EQ(factor("insulin", "µIU/mL", "pmol/L", {.insulinPmolPerUiu = 6.945}), 6.945);
    EXPECT_DOUBLE_EQ(factor("insulin", "pmol/L", "µIU/mL"), 1.0 / 6.0);
}

TEST(Units, CPeptideAndTriglycerides) {
    // C-peptide 3020.3 g/mol: 1 ng/mL = 0.331093 nmol/L (from memory, arithmetic checked).
    EXPECT_NEAR(factor("c-peptide", "ng/mL", "nmol/L"), 0.331093, 5e-7);
    EXPECT_EQ(factor("c-peptide", "nmol/L", "pmol/L"), 1000.0);
    EXPECT_DOUBLE_EQ(factor("c-peptide", "ng/mL", "pmol/L"), 1000.0 / 3.0203);
    // 88.57 mg/dL per mmol/L (from memory).
    EXPECT_DOUBLE_EQ(factor("triglycerides", "mmol/L", "mg/dL"), 88.57);
}

TEST(Units, EveryPairGoesThereAndBack) {
    for (const Unit& from : unitTable()) {
        for (const Unit& to : unitTable()) {
            if (from.analyte != to.analyte) {
                continue;
            }
            const double there = factor(from.analyte, from.unit, to.unit);
            const double back = factor(from.analyte, to.unit, from.unit);
            EXPECT_NEAR(there * back, 1.0, relativeTolerance)
                << from.analyte << ' ' << from.unit << ' ' << to.unit;
            // By way of the SI unit, the same factor.
            EXPECT_NEAR(there * from.perSi / to.perSi, 1.0, relativeTolerance);
        }
    }
}

TEST(Units, TheSiUnitStandsFirstAndEveryFactorHasASource) {
    std::string_view analyte;
    for (const Unit& unit : unitTable()) {
        EXPECT_FALSE(unit.source.empty());
        EXPECT_GT(unit.perSi, 0.0);
        if (unit.analyte != analyte) {
            EXPECT_EQ(unit.perSi, 1.0) << unit.analyte;
            analyte = unit.analyte;
        }
        EXPECT_EQ(canonicalUnit(unit.unit), unit.unit);
    }
    EXPECT_EQ(unitsOf("glucose"), "mmol/L, mg/dL");
    EXPECT_EQ(unitsOf("lactate"), "");
}

TEST(Units, SpellingsAreMadeEqual) {
    for (const char* spelling :
         {"uIU/mL", "µIU/mL", "\xce\xbcIU/mL", "µU/mL", "mU/L", "mIU/L", "uiu/ml", "uIU / mL"}) {
        EXPECT_EQ(canonicalUnit(spelling), "\xc2\xb5IU/mL") << spelling;
    }
    EXPECT_EQ(canonicalUnit("mmol/l"), "mmol/L");
    EXPECT_EQ(canonicalUnit("MG/DL"), "mg/dL");
    EXPECT_EQ(canonicalUnit("parsec"), "parsec");
    EXPECT_EQ(canonicalUnit(""), "");
}

TEST(Units, EqualUnitsGiveOneAlsoForAnalytesNotInTheTable) {
    EXPECT_EQ(factor("glucose", "mg/dL", "mg/dl"), 1.0);
    EXPECT_EQ(factor("lactate", "mmol/L", "mmol/l"), 1.0);
    EXPECT_FALSE(isKnownAnalyte("lactate"));
    EXPECT_TRUE(isKnownAnalyte("insulin"));
}

TEST(Units, UnknownUnitsAreNamedWithThoseThatAreKnown) {
    const auto glucose = conversionFactor("glucose", "mg/mL", "mmol/L");
    ASSERT_FALSE(glucose.ok());
    EXPECT_THAT(lineFor(glucose.problem()),
                AllOf(HasSubstr("glucose"), HasSubstr("'mg/mL'"), HasSubstr("mmol/L, mg/dL")));
    // A unit of another analyte, an unknown unit equal on both sides, and an unknown analyte.
    EXPECT_FALSE(conversionFactor("glucose", "pmol/L", "mmol/L").ok());
    EXPECT_FALSE(conversionFactor("glucose", "mmol/L", "µIU/mL").ok());
    EXPECT_FALSE(conversionFactor("glucose", "spoons", "spoons").ok());
    EXPECT_FALSE(conversionFactor("lactate", "mg/dL", "mmol/L").ok());
}

}  // namespace
}  // namespace aftercurve
