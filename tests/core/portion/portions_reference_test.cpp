// Energy, match and servings against base R (tests/reference/portions.R).
#include <gtest/gtest.h>

#include "core/portion/amounts.h"
#include "core/portion/energy.h"
#include "core/portion/match.h"
#include "core/portion/servings.h"
#include "tests/support/close.h"
#include "tests/support/reference_csv.h"

namespace aftercurve {
namespace {

using test::isClose;

TEST(PortionsReference, EveryNumberAsInR) {
    std::size_t matched = 0;
    std::size_t absent = 0;
    const auto rows = test::readReference("portions.csv");
    ASSERT_EQ(rows.size(), 240U);
    for (const test::ReferenceRow& row : rows) {
        SCOPED_TRACE(row.text("case"));
        const auto number = [&row](const char* column) { return row.number(column); };
        const auto expect = [&](const PortionValue& actual, const char* column, double absolute = 0.0) {
            EXPECT_TRUE(isClose(actual.value, number(column), {.absolute = absolute, .relative = 1e-12}))
                << column;
            EXPECT_EQ(actual.value.has_value(), actual.absentBecause.empty()) << column;
        };
        const auto portion = number("portion_g");
        const auto serving = number("serving_g");
        const auto available = number("available_g");
        const Macronutrients macronutrients{available, number("protein_g"), number("fat_g"),
                                            number("fibre_g")};
        expect(energyKjOf(macronutrients), "energy_kj");
        const EnergyComparison energy = compareEnergy(number("stated_kj"), macronutrients);
        expect(energy.differencePercent, "energy_percent", 1e-11);
        if (const auto percent = number("energy_percent")) {
            EXPECT_EQ(energy.beyond, *percent > 10.0 || *percent < -10.0);
            EXPECT_TRUE(
                isClose(kcalOf(*energy.fromMacronutrientsKj.value), number("kcal"), {.relative = 1e-12}));
        }
        expect(portionHolding(50.0, portion, available), "for_50_g");
        expect(portionHolding(25.0, portion, available), "for_25_g");
        const PortionMatch match = matchPortions(available, number("other_g"), number("tolerance").value());
        expect(match.differenceG, "difference_g", 1e-13);
        expect(match.differencePercent, "difference_percent", 1e-10);
        EXPECT_EQ(wordFor(match.status), row.text("status"));
        matched += match.status == MatchStatus::matched ? 1U : 0U;
        absent += available ? 0U : 1U;
        expect(resistantStarchShare(number("resistant_g"), number("starch_g")), "share_percent");
        expect(amountIn(number("fibre_g"), portion, 100.0), "fibre_per_100_g");
        const PortionValue fibre = amountIn(number("fibre_g"), portion, serving);
        expect(fibre, "fibre_per_serving");
        const ServingsForTarget servings =
            servingsFor(number("target_g").value(), {fibre.value, serving, std::nullopt, std::nullopt});
        expect(servings.exact, "exact");
        EXPECT_EQ(servings.whole, number("whole"));
        expect(servings.grams, "grams");
    }
    EXPECT_GE(matched, 40U);  // the twenty equal ones and the twenty on the limit
    EXPECT_EQ(absent, 12U);
}

}  // namespace
}  // namespace aftercurve
