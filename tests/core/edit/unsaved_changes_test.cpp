#include "core/edit/unsaved_changes.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aftercurve {
namespace {

using testing::HasSubstr;

TEST(UnsavedChanges, EveryKindOfChangeComesBackWithTheSameText) {
    InsertRow row{StudyTable::visits, 4, {"01", "=x", "", "\"", "麦", "", "'"}};
    InsertRow placed = row;
    placed.file = 2;
    placed.line = 17;
    SetPlan plan;
    plan.plan.windowEndMin = 90.5;
    plan.plan.washoutDays = 7;
    plan.plan.seed = 18446744073709551615u;
    plan.plan.secondaryMeasures = {"peak"};
    SetExclusions exclusions{{Exclusion{"07", "drink", 2, "glucose", "vomited", "AB", "2026-03-02", 40.5},
                              Exclusion{"", "", 1, "", "late", "", "", {}}}};
    SetAccepted accepted{{Acceptance{"washout", "", "", {}, "", 15.0, "seen", "AB", "2026-03-02"},
                          Acceptance{"", "01", "", {}, "", {}, "", "", ""}}};
    for (const Change& change :
         {Change{SetCell{StudyTable::samples, 1'000'000, 7, "<2"}}, Change{row}, Change{placed},
          Change{RemoveRow{StudyTable::analytes, 0}}, Change{SetTitle{"A \"title\""}}, Change{plan},
          Change{exclusions}, Change{accepted}, Change{SetExclusions{}}, Change{SetAccepted{}}}) {
        const std::string json = changeJson(change);
        EXPECT_EQ(json.find('\n'), std::string::npos);
        const auto read = changeFrom(json);
        ASSERT_TRUE(read) << json << '\n' << read.problem().what;
        EXPECT_EQ(read.value().index(), change.index());
        EXPECT_EQ(changeJson(read.value()), json);
    }
    const auto read = changeFrom(changeJson(placed));
    EXPECT_EQ(std::get<InsertRow>(read.value()).cells, row.cells);
    EXPECT_EQ(std::get<InsertRow>(read.value()).file, 2u);
    EXPECT_EQ(std::get<InsertRow>(read.value()).line, 17u);
    EXPECT_EQ(std::get<SetPlan>(changeFrom(changeJson(plan)).value()).plan, plan.plan);
    EXPECT_EQ(std::get<SetExclusions>(changeFrom(changeJson(exclusions)).value()).exclusions,
              exclusions.exclusions);
    EXPECT_EQ(std::get<SetAccepted>(changeFrom(changeJson(accepted)).value()).accepted, accepted.accepted);
}

TEST(UnsavedChanges, TheTextIsTheOneThatIsDocumented) {
    EXPECT_EQ(changeJson(SetCell{StudyTable::samples, 3, 7, "7.1"}),
              R"({"change":"cell","table":"samples","row":3,"column":7,"text":"7.1"})");
    EXPECT_EQ(changeJson(RemoveRow{StudyTable::visits, 3}),
              R"({"change":"remove","table":"visits","row":3})");
}

TEST(UnsavedChanges, AnythingElseIsRefused) {
    for (const char* text : {"",
                             "nonsense",
                             "[]",
                             "{}",
                             R"({"change":"other"})",
                             R"({"change":1})",
                             R"({"change":"cell","table":"samples","row":-1,"column":0,"text":""})",
                             R"({"change":"cell","table":"nothing","row":1,"column":0,"text":""})",
                             R"({"change":"cell","table":"samples","row":1,"column":0})",
                             R"({"change":"cell","table":"samples","row":1.5,"column":0,"text":""})",
                             R"({"change":"insert","table":"samples","row":1})",
                             R"({"change":"insert","table":"samples","row":1,"cells":[1]})",
                             R"({"change":"insert","table":"samples","row":1,"cells":[],"line":99999999999})",
                             R"({"change":"plan"})",
                             R"({"change":"plan","plan":{"baseline":"guess"}})",
                             R"({"change":"exclusions"})",
                             R"({"change":"exclusions","exclusions":[{"reason":"x"}]})",
                             R"({"change":"accepted","accepted":[{}]})",
                             R"({"change":"title","title":"a\nb"})",
                             R"({"change":"title","title":[[[[[[[[[[]]]]]]]]]]})"}) {
        const auto read = changeFrom(text);
        EXPECT_FALSE(read) << text;
    }
}

}  // namespace
}  // namespace aftercurve
