// Checks of the visits: order, dates, washout, completeness.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/check/sequence_map.h"
#include "tests/support/check_run.h"
#include "tests/support/feeding_study.h"

namespace aftercurve {

using test::FeedingStudy;
using test::found;
using testing::HasSubstr;

namespace {

/// Two foods in two periods; `order` is "bread first" for each subject.
Study crossover(const std::vector<bool>& breadFirst, const std::vector<std::string>& sequence) {
    test::StudyBuilder builder;
    builder.food("bread", FoodRole::control).food("oats", FoodRole::test).analyte("glucose", "mmol/L");
    for (std::size_t s = 0; s < breadFirst.size(); ++s) {
        const std::string id = "0" + std::to_string(s + 1);
        const double own = 0.01 * static_cast<double>(s);
        builder.curve(id, "bread", 1, {0, 30, 60}, {5.0 + own, 7.0 + own, 6.0});
        builder.curve(id, "oats", 1, {0, 30, 60}, {5.1 + own, 6.0 + own, 5.5});
        builder.study().subjects.back().sequence = sequence[s];
    }
    for (Draw& row : builder.study().draws) {
        row.period = (row.food == 0) == breadFirst[row.subject] ? 1 : 2;
    }
    builder.study().subjectsFile = "subjects.csv";
    builder.study().plan.comparator = "bread";
    return builder.study();
}

std::size_t warnings(const std::vector<Problem>& problems) {
    return static_cast<std::size_t>(std::count_if(
        problems.begin(), problems.end(), [](const Problem& p) { return p.severity == Severity::warning; }));
}

}  // namespace

TEST(SequenceParts, LettersOrWords) {
    EXPECT_EQ(sequenceParts("ABBA"), (std::vector<std::string>{"A", "B", "B", "A"}));
    EXPECT_EQ(sequenceParts("drink-bread"), (std::vector<std::string>{"drink", "bread"}));
    EXPECT_EQ(sequenceParts("A, B;C>D/E"), (std::vector<std::string>{"A", "B", "C", "D", "E"}));
    EXPECT_EQ(sequenceParts("ÄB"), (std::vector<std::string>{"Ä", "B"}));
    EXPECT_TRUE(sequenceParts("").empty());
    EXPECT_TRUE(sequenceParts(" - ").empty());
}

TEST(BestMap, TakesTheOneToOneMapWithMostAgreements) {
    // Greedy would give part 0 its favourite food 0 (3) and leave part 1 with nothing; 2 + 2 is better.
    const std::vector<PartAndFood> pairs{{0, 0}, {0, 0}, {0, 0}, {0, 1}, {0, 1}, {1, 0}, {1, 0}};
    const auto map = bestMap(pairs, 2, 2);
    ASSERT_TRUE(map);
    EXPECT_EQ(map->fitting, 4U);
    EXPECT_TRUE(map->unique);
    EXPECT_EQ(map->foodOf, (std::vector<std::optional<std::size_t>>{1, 0}));
}

TEST(BestMap, SaysWhenAnotherMapFitsAsWell) {
    const auto map = bestMap({{0, 0}, {1, 1}, {0, 1}, {1, 0}}, 2, 2);
    ASSERT_TRUE(map);
    EXPECT_EQ(map->fitting, 2U);
    EXPECT_FALSE(map->unique);
    EXPECT_FALSE(bestMap({}, 0, 2));
    EXPECT_FALSE(bestMap({{0, 0}}, 11, 2));
    EXPECT_FALSE(bestMap({{0, 0}}, 2, 11));
}

TEST(BestMap, MoreLettersThanFoodsLeaveOneWithoutAFood) {
    const auto map = bestMap({{0, 0}, {1, 1}, {2, 1}, {1, 1}}, 3, 2);
    ASSERT_TRUE(map);
    EXPECT_EQ(map->foodOf, (std::vector<std::optional<std::size_t>>{0, 1, std::nullopt}));
}

TEST(VisitOrderCheck, FindsTheSubjectThatDidNotFollowItsSequence) {
    const std::vector<std::string> sequence{"AB", "BA", "AB", "BA", "AB"};
    auto problems = found(crossover({true, false, true, false, true}, sequence), "visit-order");
    ASSERT_EQ(problems.size(), 1U);
    EXPECT_EQ(problems[0].severity, Severity::note);
    EXPECT_EQ(problems[0].file, "subjects.csv");
    EXPECT_THAT(problems[0].what, HasSubstr("A = Label of bread, B = Label of oats"));
    EXPECT_THAT(problems[0].what, HasSubstr("10 of 10"));

    problems = found(crossover({true, false, true, true, true}, sequence), "visit-order");
    ASSERT_EQ(warnings(problems), 1U);
    const Problem& p = problems.back();
    EXPECT_EQ(p.subject, "04");
    EXPECT_EQ(p.food, "bread");  // in period 1, where oats was due
    EXPECT_EQ(p.row, 2U + 3 * 6);
    EXPECT_THAT(p.what,
                HasSubstr("randomised to BA (oats, bread), but the order of the visits was bread, oats"));
}

TEST(VisitOrderCheck, ReadsNamesOfFoodsAndThenAssumesNothing) {
    EXPECT_TRUE(found(crossover({true, false}, {"bread-oats", "Oats-Bread"}), "visit-order").empty());
    const auto problems = found(crossover({true, false}, {"bread-oats", "bread-oats"}), "visit-order");
    ASSERT_EQ(problems.size(), 1U);
    EXPECT_EQ(problems[0].severity, Severity::warning);
    EXPECT_EQ(problems[0].subject, "02");
}

TEST(VisitOrderCheck, DoesNotGuessWhereTwoReadingsFitEquallyWell) {
    const auto problems = found(crossover({true, false}, {"AB", "AB"}), "visit-order");
    ASSERT_EQ(problems.size(), 1U);
    EXPECT_EQ(problems[0].severity, Severity::note);
    EXPECT_THAT(problems[0].what, HasSubstr("was not compared"));
}

TEST(VisitOrderCheck, GoesByDatesWhereThereAreNoPeriods) {
    FeedingStudy data{4};
    for (Subject& subject : data.study.subjects) {
        subject.sequence = "RTR";
    }
    data.addVisits();
    for (VisitRecord& visit : data.study.visits) {
        visit.period = 0;
    }
    EXPECT_EQ(warnings(found(data.study, "visit-order")), 0U);
    data.study.visits[6 + 1].date = "2026-02-27";  // subject 03 had oats last
    const auto problems = found(data.study, "visit-order");
    ASSERT_EQ(warnings(problems), 1U);
    EXPECT_EQ(problems.back().subject, "03");
}

TEST(VisitOrderCheck, WithoutSequencesOrWithoutAnOrderThereIsNothingToSay) {
    EXPECT_TRUE(found(crossover({true, false}, {"", ""}), "visit-order").empty());
    Study study = crossover({true, false}, {"AB", "BA"});
    for (Draw& row : study.draws) {
        row.period = 0;
    }
    EXPECT_TRUE(found(study, "visit-order").empty());
}

TEST(PeriodDatesCheck, APeriodThatCameBeforeTheOneBeforeIt) {
    FeedingStudy data{3};
    data.addVisits();
    EXPECT_TRUE(found(data.study, "period-dates").empty());
    data.study.visits[4].date = "2026-01-31";  // subject 02, period 2
    const auto problems = found(data.study, "period-dates");
    ASSERT_EQ(problems.size(), 1U);
    EXPECT_EQ(problems[0].file, "visits.csv");
    EXPECT_EQ(problems[0].row, 6U);
    EXPECT_EQ(problems[0].column, "date");
    EXPECT_EQ(problems[0].subject, "02");
    EXPECT_EQ(problems[0].food, "oats");
    EXPECT_THAT(problems[0].what, HasSubstr("period 2 on 2026-01-31, but period 1"));
    data.study.visits[4].date = "2026-02-01";  // the same day: not the other way round
    EXPECT_TRUE(found(data.study, "period-dates").empty());
}

TEST(PeriodDatesCheck, SamplesAndVisitsFileNameDifferentPeriods) {
    FeedingStudy data{2};
    data.addVisits();
    for (Draw& row : data.study.draws) {
        row.period = row.food == 1 ? 2 : row.visit == 1 ? 1 : 3;
    }
    EXPECT_TRUE(found(data.study, "period-dates").empty());
    for (Draw& row : data.study.draws) {
        row.period = row.subject == 1 && row.food == 1 ? 3 : row.period;
    }
    const auto problems = found(data.study, "period-dates");
    ASSERT_EQ(problems.size(), 1U);
    EXPECT_EQ(problems[0].subject, "02");
    EXPECT_EQ(problems[0].file, "samples.csv");
    EXPECT_THAT(problems[0].what, HasSubstr("period 3 here, but 2 in visits.csv:6"));
}

TEST(WashoutCheck, BothSidesOfThePlansDays) {
    FeedingStudy data{2};
    data.addVisits();
    data.study.plan.washoutDays = 10.0;
    EXPECT_TRUE(found(data.study, "washout").empty());
    data.study.visits[1].date = "2026-02-10";  // 9 days after the first, 11 before the third
    const auto problems = found(data.study, "washout");
    ASSERT_EQ(problems.size(), 1U);
    EXPECT_EQ(problems[0].severity, Severity::warning);
    EXPECT_EQ(problems[0].file, "visits.csv");
    EXPECT_EQ(problems[0].row, 3U);
    EXPECT_EQ(problems[0].subject, "01");
    EXPECT_EQ(problems[0].food, "oats");
    EXPECT_THAT(problems[0].what,
                HasSubstr("9 days after bread, visit 1 (2026-02-01); the plan asks for 10"));
    data.study.plan.washoutDays.reset();
    EXPECT_TRUE(found(data.study, "washout").empty());
}

TEST(WashoutCheck, DaysAreCountedOverTheEndOfFebruary) {
    FeedingStudy data{1};
    data.addVisits();
    data.study.plan.washoutDays = 3.0;
    data.study.visits[1].date = "2028-02-28";
    data.study.visits[2].date = "2028-03-01";  // a leap year: 2 days
    const auto problems = found(data.study, "washout");
    ASSERT_EQ(problems.size(), 1U);
    EXPECT_THAT(problems[0].what, HasSubstr("2 days after"));
}

TEST(WashoutCheck, TwoVisitsOnOneDayWhateverThePlanSays) {
    FeedingStudy data{2};
    data.addVisits();
    data.study.visits[2].date = data.study.visits[1].date;
    const auto problems = found(data.study, "washout");
    ASSERT_EQ(problems.size(), 1U);
    EXPECT_THAT(problems[0].what, HasSubstr("on the same day as"));
}

TEST(WashoutCheck, MissingDatesAreANoteWhereAWashoutIsAsked) {
    FeedingStudy data{2};
    data.study.plan.washoutDays = 7.0;
    auto problems = found(data.study, "washout");
    ASSERT_EQ(problems.size(), 1U);
    EXPECT_EQ(problems[0].severity, Severity::note);
    EXPECT_THAT(problems[0].what, HasSubstr("no visits file"));
    data.addVisits();
    data.study.visits[3].date.clear();
    problems = found(data.study, "washout");
    ASSERT_EQ(problems.size(), 1U);
    EXPECT_EQ(problems[0].severity, Severity::note);
    EXPECT_EQ(problems[0].row, 5U);
    data.study.visits[3].date = "2026-02-30";
    EXPECT_EQ(found(data.study, "washout").size(), 1U);
    data.study.plan.washoutDays.reset();
    EXPECT_TRUE(found(data.study, "washout").empty());
}

TEST(ReferenceRepeatsCheck, FewerThanTheOthers) {
    FeedingStudy data;
    const auto drop = [&data](std::uint32_t subject) {
        for (std::size_t d = data.study.draws.size(); d-- > 0;) {
            const Draw& row = data.study.draws[d];
            if (row.subject == subject && row.food == 0 && row.visit == 2) {
                const auto at = static_cast<std::ptrdiff_t>(d);
                data.study.draws.erase(data.study.draws.begin() + at);
                for (auto& column : data.study.concentrations) {
                    column.erase(column.begin() + at);
                }
            }
        }
    };
    EXPECT_TRUE(found(data.study, "reference-repeats").empty());
    drop(4);
    auto problems = found(data.study, "reference-repeats");
    ASSERT_EQ(problems.size(), 1U);
    EXPECT_EQ(problems[0].subject, "05");
    EXPECT_EQ(problems[0].food, "bread");
    EXPECT_THAT(problems[0].what, HasSubstr("1 visit with the reference food"));
    data.study.plan.index = false;
    EXPECT_TRUE(found(data.study, "reference-repeats").empty());
    data.study.plan.index = true;
    for (std::uint32_t s = 0; s < 8; ++s) {
        drop(s);
    }
    EXPECT_TRUE(found(data.study, "reference-repeats").empty());  // the index says it once for all
}

TEST(ReferenceRepeatsCheck, AnExcludedVisitIsNoRepeat) {
    FeedingStudy data;
    data.study.exclusions.push_back({"05", "bread", 2, "", "unwell", "", ""});
    EXPECT_EQ(found(data.study, "reference-repeats").size(), 1U);
}

TEST(VisitWithoutSamplesCheck, ARecordWithoutRows) {
    FeedingStudy data{2};
    data.addVisits();
    EXPECT_TRUE(found(data.study, "visit-without-samples").empty());
    data.study.visits.push_back({1, 1, 2, 4, "2026-03-10", "", "", 8});
    const auto problems = found(data.study, "visit-without-samples");
    ASSERT_EQ(problems.size(), 1U);
    EXPECT_EQ(problems[0].file, "visits.csv");
    EXPECT_EQ(problems[0].row, 8U);
    EXPECT_EQ(problems[0].subject, "02");
    EXPECT_EQ(problems[0].food, "oats");
    EXPECT_EQ(problems[0].visit, 2);
}

TEST(VisitWithoutSamplesCheck, RowsWithoutAnyValue) {
    FeedingStudy data{2};
    for (const double time : test::feedingTimes) {
        data.cell("02", "oats", 1, time).reset();
    }
    EXPECT_TRUE(found(data.study, "visit-without-samples").empty());  // insulin is there
    for (const double time : test::feedingTimes) {
        data.cell("02", "oats", 1, time, "insulin").reset();
    }
    const auto problems = found(data.study, "visit-without-samples");
    ASSERT_EQ(problems.size(), 1U);
    EXPECT_EQ(problems[0].subject, "02");
    EXPECT_EQ(problems[0].row, data.study.draws[data.draw("02", "oats", 1, -10)].row);
}

TEST(FoodMissingCheck, ANoteWhereNoComparisonSaysIt) {
    test::StudyBuilder builder;
    builder.food("bread", FoodRole::test).food("oats", FoodRole::test).food("rye", FoodRole::test);
    builder.analyte("glucose", "mmol/L");
    builder.curve("01", "bread", 1, {0, 30}, {5.0, 7.0}).curve("01", "oats", 1, {0, 30}, {5.1, 6.0});
    builder.curve("02", "bread", 1, {0, 30}, {5.2, 7.1});
    const auto problems = found(builder.study(), "food-missing");
    ASSERT_EQ(problems.size(), 1U);  // nobody had rye
    EXPECT_EQ(problems[0].severity, Severity::note);
    EXPECT_EQ(problems[0].subject, "02");
    EXPECT_EQ(problems[0].food, "oats");
    builder.study().plan.comparator = "bread";
    EXPECT_TRUE(found(builder.study(), "food-missing").empty());
}

}  // namespace aftercurve
