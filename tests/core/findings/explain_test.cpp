// The working of a number: what it says can be recomputed by hand from what it lists.
#include "core/findings/explain.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <set>

#include "core/base/number_text.h"
#include "core/findings/analyse.h"
#include "tests/support/study_builder.h"

namespace aftercurve {
namespace {

using testing::HasSubstr;
using testing::Not;

struct Given {
    Study study;
    Findings findings;

    Table table(std::string_view key) const { return buildTable(key, study, findings); }
};

/// Triangles of 120 min over 5 mmol/L: areas 60·rise. Differences of the areas: −60, −120, −30.
Given given() {
    test::StudyBuilder builder;
    builder.food("bread", FoodRole::control).food("oats", FoodRole::test).analyte("glucose", "mmol/L");
    builder.curve("01", "bread", 1, {0, 60, 120}, {5, 9, 5}).curve("01", "oats", 1, {0, 60, 120}, {5, 8, 5});
    builder.curve("02", "bread", 1, {0, 60, 120}, {5, 9, 5}).curve("02", "oats", 1, {0, 60, 120}, {5, 7, 5});
    builder.curve("03", "bread", 1, {0, 60, 120}, {5, 8, 5})
        .curve("03", "oats", 1, {0, 60, 120}, {5, 7.5, 5});
    builder.study().plan.index = false;
    auto findings = analyse(builder.study(), builder.study().plan);
    EXPECT_TRUE(findings.ok());
    return {builder.study(), std::move(findings).value()};
}

std::size_t columnOf(const Table& table, std::string_view key) {
    std::size_t c = 0;
    while (table.columns.at(c).key != key) {
        ++c;
    }
    return c;
}

std::string working(const Given& given, std::string_view table, std::size_t row, std::string_view column) {
    const Table shown = given.table(table);
    std::vector<std::shared_ptr<Table>> kept;
    return workingOf(shown, row, columnOf(shown, column), [&](std::string_view key) -> const Table* {
        kept.push_back(std::make_shared<Table>(given.table(key)));
        return kept.back().get();
    });
}

TEST(Working, TellsFormulaInputsAndEverySubject) {
    const std::string text = working(given(), "comparisons", 0, "mean_difference");
    EXPECT_THAT(text, HasSubstr("Mean difference: glucose"));
    EXPECT_THAT(text, HasSubstr("= -70 mmol/L × min"));
    EXPECT_THAT(text, HasSubstr("Formula: Sum of the differences / n"));
    EXPECT_THAT(text, HasSubstr("n = 3"));
    EXPECT_THAT(text, HasSubstr("\n    01: -60\n    02: -120\n    03: -30"));
    EXPECT_THAT(text, HasSubstr("Degrees of freedom (df): 2"));
}

TEST(Working, ReadsTheSubjectsOfItsOwnComparison) {
    const std::string text = working(given(), "companions", 0, "estimate");
    EXPECT_THAT(text, HasSubstr("With the food of each subject:\n    01: 180\n    02: 120\n    03: 150"));
    EXPECT_THAT(text, Not(HasSubstr("absent")));
}

TEST(Working, APHasItsTAndDf) {
    const std::string text = working(given(), "comparisons", 0, "p");
    EXPECT_THAT(text, HasSubstr("hypothesis: the mean difference is 0"));
    EXPECT_THAT(text, HasSubstr("  t = -"));
    EXPECT_THAT(text, HasSubstr("  df = 2"));
    // Said once.
    EXPECT_THAT(text, Not(HasSubstr("Degrees of freedom")));
}

TEST(Working, AnAbsentNumberSaysWhy) {
    test::StudyBuilder builder;
    builder.food("bread", FoodRole::control).food("oats", FoodRole::test).analyte("glucose", "mmol/L");
    builder.curve("01", "bread", 1, {0, 60, 120}, {5, 9, 5}).curve("01", "oats", 1, {0, 60, 120}, {5, 8, 5});
    auto findings = analyse(builder.study(), builder.study().plan);
    ASSERT_TRUE(findings.ok());
    const Given one{builder.study(), std::move(findings).value()};
    const std::string text = working(one, "comparisons", 0, "p");
    EXPECT_THAT(text, HasSubstr("= absent"));
    EXPECT_THAT(text, HasSubstr("Remark: "));
}

TEST(Working, EveryInputOfEveryColumnExists) {
    const Given all = given();
    for (const TableKind& kind : tableList()) {
        const Table table = kind.build(all.study, all.findings);
        std::set<std::string> keys;
        for (const Column& column : table.columns) {
            EXPECT_TRUE(keys.insert(column.key).second) << kind.key << ": " << column.key << " stands twice";
        }
        for (const Column& column : table.columns) {
            for (const std::string& input : column.inputs) {
                const std::size_t dot = input.find('.');
                if (dot == std::string::npos) {
                    EXPECT_TRUE(keys.contains(input)) << kind.key << ": " << input;
                    continue;
                }
                const std::string other = input.substr(0, dot);
                ASSERT_TRUE(std::any_of(tableList().begin(), tableList().end(),
                                        [&](const TableKind& k) { return k.key == other; }))
                    << kind.key << ": " << input;
                const Table there = all.table(other);
                EXPECT_TRUE(std::any_of(there.columns.begin(), there.columns.end(),
                                        [&](const Column& c) { return c.key == input.substr(dot + 1); }))
                    << kind.key << ": " << input;
            }
        }
    }
}

}  // namespace
}  // namespace aftercurve
