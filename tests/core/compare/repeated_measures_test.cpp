// The classical table against R on 122 studies: tests/reference/repeated_measures.R (aov, anova.mlm,
// mauchly.test), and cases made by hand.
#include "core/compare/repeated_measures.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <string>
#include <vector>

#include "core/compare/paired_t.h"
#include "tests/support/close.h"
#include "tests/support/reference_csv.h"

namespace aftercurve {
namespace {

using test::isClose;
using test::readReference;
using test::ReferenceRow;
using testing::HasSubstr;

/// value[subject][food][time]; NaN is a missing sample.
using Table = std::vector<std::vector<std::vector<double>>>;

TimeCourseData dataOf(const Table& value) {
    TimeCourseData data;
    for (std::size_t f = 0; f < value.front().size(); ++f) {
        data.foods.push_back("food " + std::to_string(f + 1));
    }
    for (std::size_t t = 0; t < value.front().front().size(); ++t) {
        data.timesMin.push_back(15.0 * static_cast<double>(t + 1));
    }
    for (std::size_t s = 0; s < value.size(); ++s) {
        for (std::size_t f = 0; f < value[s].size(); ++f) {
            for (std::size_t t = 0; t < value[s][f].size(); ++t) {
                if (!std::isnan(value[s][f][t])) {
                    data.rows.push_back({s, f, 0, t, value[s][f][t], {}});
                }
            }
        }
    }
    return data;
}

const Table small = {
    {{1, 4, 2}, {2, 6, 5}}, {{2, 5, 4}, {2, 9, 5}}, {{1, 3, 1}, {4, 5, 7}}, {{0, 2, 3}, {1, 6, 4}}};

std::map<std::string, TimeCourseData> readStudies() {
    std::map<std::string, TimeCourseData> studies;
    for (const ReferenceRow& row : readReference("repeated_measures_rows.csv")) {
        TimeCourseData& data = studies[row.text("study")];
        const auto food = static_cast<std::size_t>(row.number("food").value()) - 1;
        while (data.foods.size() <= food) {
            data.foods.push_back("food " + std::to_string(data.foods.size() + 1));
        }
        const double minutes = row.number("time_min").value();
        const auto found = std::find(data.timesMin.begin(), data.timesMin.end(), minutes);
        const auto time = static_cast<std::size_t>(found - data.timesMin.begin());
        if (found == data.timesMin.end()) {
            data.timesMin.push_back(minutes);
        }
        const auto subject = static_cast<std::size_t>(row.number("subject").value());
        data.rows.push_back({subject, food, 0, time, row.number("value").value(), {}});
    }
    return studies;
}

TEST(RepeatedMeasures, AgreesWithR) {
    std::map<std::string, RepeatedMeasures> tables;
    for (const auto& [name, data] : readStudies()) {
        tables[name] = repeatedMeasures(data);
    }
    EXPECT_EQ(tables.size(), 122U);
    std::size_t compared = 0;
    std::size_t leftOut = 0;
    std::size_t withMauchly = 0;
    std::size_t withoutHuynhFeldt = 0;
    for (const ReferenceRow& row : readReference("repeated_measures_terms.csv")) {
        const std::string name = row.text("study") + " " + row.text("term");
        const RepeatedMeasures& table = tables.at(row.text("study"));
        EXPECT_EQ(static_cast<double>(table.subjects), row.number("subjects")) << name;
        const auto term = std::find_if(table.terms.begin(), table.terms.end(),
                                       [&](const auto& t) { return t.term == row.text("term"); });
        ASSERT_NE(term, table.terms.end()) << name;
        EXPECT_EQ(static_cast<double>(term->df), row.number("df")) << name;
        EXPECT_EQ(static_cast<double>(term->errorDf), row.number("df_error")) << name;
        EXPECT_TRUE(isClose(term->sumOfSquares, row.number("ss"), {.relative = 1e-9})) << name;
        EXPECT_TRUE(isClose(term->errorSumOfSquares, row.number("ss_error"), {.relative = 1e-9})) << name;
        EXPECT_TRUE(isClose(term->f, row.number("f"), {.relative = 1e-8})) << name;
        EXPECT_TRUE(isClose(term->p, row.number("p"), {.relative = 1e-8})) << name;
        EXPECT_TRUE(isClose(term->epsilonGreenhouseGeisser, row.number("gg"), {.relative = 1e-8})) << name;
        EXPECT_TRUE(isClose(term->pGreenhouseGeisser, row.number("p_gg"), {.relative = 1e-8})) << name;
        // Where k·epsilon reaches n − 1 R's quotient is negative or without bound: no epsilon here.
        const bool usable = row.number("hf").value_or(-1.0) > 0.0 && row.number("p_hf");
        EXPECT_TRUE(
            isClose(term->epsilonHuynhFeldt, usable ? row.number("hf") : std::nullopt, {.relative = 1e-6}))
            << name;
        EXPECT_TRUE(
            isClose(term->pHuynhFeldt, usable ? row.number("p_hf") : std::nullopt, {.relative = 1e-7}))
            << name;
        EXPECT_TRUE(isClose(term->mauchlyW, row.number("mauchly_w"), {.relative = 1e-7})) << name;
        EXPECT_TRUE(isClose(term->mauchlyP, row.number("mauchly_p"), {.relative = 1e-6})) << name;
        EXPECT_EQ(term->mauchlyAbsentBecause.empty(), term->mauchlyW.has_value()) << name;
        ++compared;
        leftOut += table.leftOut.empty() ? 0U : 1U;
        withMauchly += term->mauchlyP ? 1U : 0U;
        withoutHuynhFeldt += usable ? 0U : 1U;
    }
    EXPECT_GE(compared, 350U);
    EXPECT_GE(leftOut, 60U);
    EXPECT_GE(withMauchly, 200U);
    EXPECT_GE(withoutHuynhFeldt, 2U);
}

// Two foods: F of food is the square of the paired t of the subjects' means over the times, and with two
// times that of food x time is the square of the paired t of their differences.
TEST(RepeatedMeasures, TwoByTwoIsTwoPairedT) {
    const Table value = {
        {{1, 4}, {2, 6}}, {{2, 5}, {2, 9}}, {{1, 3}, {4, 5}}, {{0, 2}, {1, 6}}, {{3, 3}, {2, 8}}};
    std::vector<double> first;
    std::vector<double> second;
    std::vector<double> riseFirst;
    std::vector<double> riseSecond;
    for (const auto& s : value) {
        first.push_back((s[0][0] + s[0][1]) / 2.0);
        second.push_back((s[1][0] + s[1][1]) / 2.0);
        riseFirst.push_back(s[0][1] - s[0][0]);
        riseSecond.push_back(s[1][1] - s[1][0]);
    }
    const RepeatedMeasures r = repeatedMeasures(dataOf(value));
    ASSERT_EQ(r.terms.size(), 3U);
    const PairedT food = pairedT(pairedDifferences(second, first), 0.05);
    const PairedT both = pairedT(pairedDifferences(riseSecond, riseFirst), 0.05);
    EXPECT_TRUE(isClose(r.terms[0].f, *food.t * *food.t, {.relative = 1e-12}));
    EXPECT_TRUE(isClose(r.terms[0].p, food.p, {.relative = 1e-12}));
    EXPECT_TRUE(isClose(r.terms[2].f, *both.t * *both.t, {.relative = 1e-12}));
    EXPECT_EQ(r.terms[2].epsilonGreenhouseGeisser, 1.0);
    EXPECT_EQ(r.terms[2].epsilonHuynhFeldt, 1.0);
    EXPECT_THAT(r.terms[2].mauchlyAbsentBecause, HasSubstr("one degree of freedom"));
}

TEST(RepeatedMeasures, IncompleteSubjectsAreListedAndChangeNothing) {
    const double none = std::numeric_limits<double>::quiet_NaN();
    Table value = small;
    value.push_back({{7, none, 9}, {1, 2, 3}});
    value.push_back({{7, 8, 9}, {none, none, 3}});
    const RepeatedMeasures r = repeatedMeasures(dataOf(value));
    const RepeatedMeasures without = repeatedMeasures(dataOf(small));
    EXPECT_EQ(r.subjects, 4U);
    ASSERT_EQ(r.leftOut.size(), 2U);
    EXPECT_EQ(r.leftOut[0].subject, 4U);
    EXPECT_EQ(r.leftOut[0].reason, "no value of food 1 at 30 min");
    EXPECT_EQ(r.leftOut[1].reason, "no value of food 2 at 15 min, and 1 more missing");
    for (std::size_t t = 0; t < 3; ++t) {
        EXPECT_TRUE(isClose(r.terms[t].f, without.terms[t].f, {.relative = 1e-12}));
    }
}

TEST(RepeatedMeasures, UnitShiftAndOrderDoNotMatter) {
    const RepeatedMeasures plain = repeatedMeasures(dataOf(small));
    for (const double unit : {1e-290, 1e-100, 18.016, 1e100, 1e300}) {
        TimeCourseData data = dataOf(small);
        std::reverse(data.rows.begin(), data.rows.end());
        for (TimeCourseRow& row : data.rows) {
            row.value = (row.value + 100.0) * unit;
        }
        const RepeatedMeasures r = repeatedMeasures(data);
        for (std::size_t t = 0; t < 3; ++t) {
            EXPECT_TRUE(isClose(r.terms[t].f, plain.terms[t].f, {.relative = 1e-9}));
            EXPECT_TRUE(isClose(r.terms[t].pGreenhouseGeisser, plain.terms[t].pGreenhouseGeisser,
                                {.relative = 1e-9}));
            EXPECT_TRUE(isClose(r.terms[t].mauchlyW, plain.terms[t].mauchlyW, {.relative = 1e-9}));
            // Too large or too small for a double squared: absent, not 0 or infinite.
            EXPECT_EQ(r.terms[t].errorSumOfSquares.has_value(), unit > 1e-140 && unit < 1e140);
        }
    }
}

TEST(RepeatedMeasures, VisitsAreAveraged) {
    TimeCourseData data = dataOf(small);
    data.rows[0].value -= 3.0;
    data.rows.push_back(data.rows[0]);
    data.rows.back().visit = 1;
    data.rows.back().value += 6.0;
    const RepeatedMeasures r = repeatedMeasures(data);
    EXPECT_TRUE(isClose(r.terms[0].f, repeatedMeasures(dataOf(small)).terms[0].f, {.relative = 1e-12}));
    ASSERT_EQ(r.notes.size(), 1U);
    EXPECT_THAT(r.notes[0], HasSubstr("averaged"));
}

TEST(RepeatedMeasures, WithoutEnoughThereIsAReason) {
    const double none = std::numeric_limits<double>::quiet_NaN();
    TimeCourseData infinite = dataOf(small);
    infinite.rows[2].value = std::numeric_limits<double>::infinity();
    TimeCourseData empty = dataOf(small);
    empty.rows.clear();
    const std::vector<std::pair<TimeCourseData, std::string>> cases = {
        {empty, "no value"},
        {infinite, "not a finite number"},
        {dataOf({{{1, 2}, {3, 4}}}), "one subject"},
        {dataOf({{{1, none}, {3, 4}}, {{1, 2}, {3, none}}}), "no subject has a value for every food"},
    };
    for (const auto& [data, reason] : cases) {
        const RepeatedMeasures r = repeatedMeasures(data);
        EXPECT_THAT(r.absentBecause, HasSubstr(reason));
        EXPECT_TRUE(r.terms.empty());
    }
    const RepeatedMeasures one = repeatedMeasures(dataOf({{{1, 2}}, {{4, 7}}, {{2, 2}}}));
    EXPECT_EQ(one.terms[0].absentBecause, "it has one level");
    EXPECT_TRUE(one.terms[1].p);
    EXPECT_EQ(one.terms[2].absentBecause, "it has one level");
    // Subjects apart by a constant, and subjects all the same.
    for (const Table& same :
         {Table{{{1, 2.1}, {3, 4}}, {{2, 3.1}, {4, 5}}}, Table{{{5, 5}, {5, 5}}, {{5, 5}, {5, 5}}}}) {
        for (const RepeatedMeasuresTerm& term : repeatedMeasures(dataOf(same)).terms) {
            EXPECT_THAT(term.absentBecause, HasSubstr("nothing to test against"));
            EXPECT_FALSE(term.f || term.p || term.epsilonGreenhouseGeisser);
        }
    }
}

}  // namespace
}  // namespace aftercurve
