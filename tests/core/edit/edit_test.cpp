#include "core/edit/edit.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/support/study_files.h"

namespace aftercurve {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Optional;
using testing::SizeIs;

/// Two subjects, three draws; glucose 4.6, <2, 5,4 (a flaw); the second draw with a remark.
class Edit : public testing::Test {
  protected:
    void SetUp() override {
        const test::StudyFiles files{
            "subject,food,time_min,glucose,remark\n"
            "01,drink,0,4.6,\n"
            "01,drink,15,<2,haemolysed\n"
            "02,barley,0,\"5,4\",\n",
            test::smallStudyJson(R"(, "exclusions": [{"subject": "01", "food": "drink", "reason": "vomited"}],
 "accepted": [{"check": "washout", "food": "drink", "analyte": "glucose", "because": "seen"}],
 "plan": {"comparator": "drink"})")};
        study_ = files.read().study.value();
    }

    Result<Change> set(StudyTable table, std::size_t row, const std::string& column,
                       const std::string& text) {
        const auto columns = columnsOf(study_, table);
        for (std::size_t i = 0; i < columns.size(); ++i) {
            if (columns[i].name == column) {
                return apply(study_, SetCell{table, row, i, text});
            }
        }
        ADD_FAILURE() << "no column " << column;
        return Problem{};
    }
    std::string at(StudyTable table, std::size_t row, const std::string& column) const {
        const auto columns = columnsOf(study_, table);
        for (std::size_t i = 0; i < columns.size(); ++i) {
            if (columns[i].name == column) {
                return cellText(study_, table, row, i);
            }
        }
        return "no such column";
    }

    Study study_;
};

TEST_F(Edit, TheColumnsAreThoseOfTheFiles) {
    const auto names = [this](StudyTable table) {
        std::vector<std::string> list;
        for (const TableColumn& column : columnsOf(study_, table)) {
            list.push_back(column.name);
        }
        return list;
    };
    EXPECT_THAT(names(StudyTable::samples), ElementsAre("subject", "food", "visit", "period", "time_min",
                                                        "nominal_min", "replicate", "glucose", "remark"));
    EXPECT_THAT(names(StudyTable::visits),
                ElementsAre("subject", "food", "visit", "period", "date", "meal_start", "remark"));
    EXPECT_THAT(names(StudyTable::subjects), ElementsAre("subject", "sequence", "sex", "age_y", "bmi_kg_m2"));
    EXPECT_THAT(names(StudyTable::foods),
                ElementsAre("id", "label", "role", "available_carbohydrate_g", "portion_g", "serving_g",
                            "energy_kj", "protein_g", "fat_g", "sugars_g", "starch_g", "resistant_starch_g",
                            "slowly_digestible_starch_g", "fibre_g"));
    EXPECT_THAT(names(StudyTable::analytes), ElementsAre("id", "unit", "specimen"));
    EXPECT_EQ(columnsOf(study_, StudyTable::samples)[7].label, "glucose (mmol/L)");
    EXPECT_EQ(rowCount(study_, StudyTable::samples), 3u);
    EXPECT_EQ(rowCount(study_, StudyTable::foods), 2u);
}

TEST_F(Edit, CellsAreShownAsTheyStandInTheFile) {
    EXPECT_EQ(at(StudyTable::samples, 0, "glucose"), "4.6");
    EXPECT_EQ(at(StudyTable::samples, 1, "glucose"), "<2");
    EXPECT_EQ(at(StudyTable::samples, 2, "glucose"), "5,4");
    EXPECT_EQ(at(StudyTable::samples, 1, "remark"), "haemolysed");
    EXPECT_EQ(at(StudyTable::samples, 0, "period"), "");
    EXPECT_EQ(at(StudyTable::samples, 0, "replicate"), "1");
    EXPECT_EQ(cellText(study_, StudyTable::samples, 99, 0), "");
    EXPECT_EQ(cellText(study_, StudyTable::samples, 0, 99), "");
}

TEST_F(Edit, AConcentrationIsReadByTheRulesOfTheFile) {
    struct Case {
        const char* text;
        std::optional<double> value;
        std::optional<double> limit;
        bool flaw;
    };
    for (const Case& one :
         {Case{"7.1", 7.1, {}, false}, Case{" 1e3 ", 1000.0, {}, false}, Case{"<0.5", {}, 0.5, false},
          Case{"NA", {}, {}, false}, Case{"", {}, {}, false}, Case{"5,4", {}, {}, true},
          Case{"inf", {}, {}, true}, Case{"-1", {}, {}, true}, Case{">30", {}, {}, true},
          Case{"high", {}, {}, true}, Case{"2e9", {}, {}, true}}) {
        for (const std::size_t row : {0u, 1u, 2u}) {
            ASSERT_TRUE(set(StudyTable::samples, row, "glucose", one.text)) << one.text;
            EXPECT_EQ(study_.concentrations[0][row], one.value) << one.text;
            EXPECT_EQ(belowLimitAt(study_, static_cast<std::uint32_t>(row), 0), one.limit) << one.text;
        }
        EXPECT_THAT(study_.flaws, SizeIs(one.flaw ? 3 : 0)) << one.text;
        EXPECT_THAT(study_.belowLimit, SizeIs(one.limit ? 3 : 0)) << one.text;
    }
}

TEST_F(Edit, AMendedCellLosesItsFlawAndABadOneGetsOne) {
    ASSERT_THAT(study_.flaws, SizeIs(1));
    const Study before = study_;
    const auto inverse = set(StudyTable::samples, 2, "glucose", "5.4");
    ASSERT_TRUE(inverse);
    EXPECT_THAT(study_.flaws, IsEmpty());
    EXPECT_THAT(study_.concentrations[0][2], Optional(5.4));
    ASSERT_TRUE(apply(study_, inverse.value()));
    EXPECT_TRUE(study_ == before);
    ASSERT_TRUE(set(StudyTable::samples, 0, "glucose", "4,6"));
    ASSERT_THAT(study_.flaws, SizeIs(2));
    EXPECT_EQ(study_.flaws[0].draw, 0u);
    EXPECT_EQ(study_.flaws[0].reason, "'4,6' is written with a decimal comma");
    EXPECT_EQ(study_.flaws[0].text, "4,6");
}

TEST_F(Edit, RowsPutInOrTakenOutMoveWhatOnlySomeDrawsHave) {
    const Study before = study_;
    const auto inverse = apply(
        study_, InsertRow{StudyTable::samples, 1, {"02", "barley", "", "", "", "30", "2", "<3", "late"}});
    ASSERT_TRUE(inverse);
    ASSERT_THAT(study_.draws, SizeIs(4));
    EXPECT_EQ(study_.draws[1].timeMin, 30.0);  // the nominal time, where none is given
    EXPECT_EQ(study_.draws[1].row, 0u);
    EXPECT_THAT(study_.nominalMin, ElementsAre(std::nullopt, Optional(30.0), std::nullopt, std::nullopt));
    EXPECT_THAT(study_.replicate, ElementsAre(1, 2, 1, 1));
    ASSERT_THAT(study_.belowLimit, SizeIs(2));
    EXPECT_EQ(study_.belowLimit[0], (BelowLimit{1, 0, 3.0}));
    EXPECT_EQ(study_.belowLimit[1], (BelowLimit{2, 0, 2.0}));
    EXPECT_THAT(study_.remarks, ElementsAre(DrawRemark{1, "late"}, DrawRemark{2, "haemolysed"}));
    EXPECT_EQ(study_.flaws[0].draw, 3u);
    ASSERT_TRUE(apply(study_, inverse.value()));
    EXPECT_TRUE(study_ == before);

    // The middle row goes and comes back with its line of the file.
    const auto back = apply(study_, RemoveRow{StudyTable::samples, 1});
    ASSERT_TRUE(back);
    EXPECT_THAT(study_.belowLimit, IsEmpty());
    EXPECT_THAT(study_.remarks, IsEmpty());
    EXPECT_EQ(study_.flaws[0].draw, 1u);
    ASSERT_TRUE(apply(study_, back.value()));
    EXPECT_TRUE(study_ == before);
}

TEST_F(Edit, ALineThatIsTakenByNowIsNotGivenAgain) {
    const auto back = apply(study_, RemoveRow{StudyTable::samples, 1});
    ASSERT_TRUE(back);
    study_.draws[1].row = 3;  // as after a save: the rows have moved up
    ASSERT_TRUE(apply(study_, back.value()));
    EXPECT_EQ(study_.draws[1].row, 0u);
}

TEST_F(Edit, ARenameReachesExclusionsAcceptancesAndThePlan) {
    const Study before = study_;
    const auto food = set(StudyTable::foods, 0, "id", "glucose drink");
    const auto analyte = set(StudyTable::analytes, 0, "id", "glc");
    const auto subject = set(StudyTable::subjects, 0, "subject", "S1");
    ASSERT_TRUE(food && analyte && subject);
    EXPECT_EQ(study_.exclusions[0].food, "glucose drink");
    EXPECT_EQ(study_.exclusions[0].subject, "S1");
    EXPECT_EQ(study_.accepted[0].food, "glucose drink");
    EXPECT_EQ(study_.accepted[0].analyte, "glc");
    EXPECT_EQ(study_.plan.comparator, "glucose drink");
    EXPECT_EQ(at(StudyTable::samples, 0, "subject"), "S1");
    ASSERT_TRUE(apply(study_, subject.value()));
    ASSERT_TRUE(apply(study_, analyte.value()));
    ASSERT_TRUE(apply(study_, food.value()));
    EXPECT_TRUE(study_ == before);
}

TEST_F(Edit, ANameThatAnExclusionHoldsIsRefused) {
    study_.exclusions[0].subject = "03";  // no such subject yet
    const auto done = set(StudyTable::subjects, 0, "subject", "03");
    ASSERT_FALSE(done);
    EXPECT_THAT(done.problem().what, HasSubstr("an exclusion names '03' already"));
}

TEST_F(Edit, WhatDrawsOrVisitsReferToCannotBeRemoved) {
    const Study before = study_;
    for (const StudyTable table : {StudyTable::subjects, StudyTable::foods, StudyTable::analytes}) {
        const auto done = apply(study_, RemoveRow{table, 0});
        ASSERT_FALSE(done);
        EXPECT_THAT(done.problem().what, HasSubstr("cannot be removed"));
        EXPECT_THAT(done.problem().remedy, HasSubstr("exclude it instead"));
    }
    EXPECT_TRUE(study_ == before);
    ASSERT_TRUE(apply(study_, InsertRow{StudyTable::subjects, 0, {"00", "", "", "", ""}}));
    EXPECT_EQ(study_.draws[0].subject, 1u);  // those behind it moved
    ASSERT_TRUE(apply(study_, InsertRow{StudyTable::visits, 0, {"00", "barley", "", "", "", "", ""}}));
    EXPECT_FALSE(apply(study_, RemoveRow{StudyTable::subjects, 0}));
    ASSERT_TRUE(apply(study_, RemoveRow{StudyTable::visits, 0}));
    ASSERT_TRUE(apply(study_, RemoveRow{StudyTable::subjects, 0}));
    EXPECT_TRUE(study_ == before);
}

TEST_F(Edit, WhatACellMayNotHoldIsRefusedWithTheReason) {
    const Study before = study_;
    struct Case {
        StudyTable table;
        const char* column;
        std::string text;
        const char* reason;
    };
    for (const Case& one : {
             Case{StudyTable::samples, "subject", "99", "there is no subject '99'"},
             Case{StudyTable::samples, "food", "rye", "there is no food 'rye'"},
             Case{StudyTable::samples, "visit", "1.5", "not a whole number"},
             Case{StudyTable::samples, "time_min", "", "the cell is empty"},
             Case{StudyTable::samples, "time_min", "2e6", "beyond 1000000 min"},
             Case{StudyTable::samples, "nominal_min", "5,5", "decimal comma"},
             Case{StudyTable::samples, "replicate", "0", "not a whole number"},
             Case{StudyTable::samples, "remark", "a\nb", "control characters"},
             Case{StudyTable::samples, "remark", "\xff", "not UTF-8"},
             Case{StudyTable::samples, "remark", std::string(2001, 'x'), "longer than 2000 bytes"},
             Case{StudyTable::samples, "glucose", std::string{"5\0", 2}, "control characters"},
             Case{StudyTable::subjects, "subject", "NA", "stands for a missing value"},
             Case{StudyTable::subjects, "subject", "02", "is there already"},
             Case{StudyTable::subjects, "age_y", "131", "outside 0 to 130"},
             Case{StudyTable::foods, "id", "", "it is empty"},
             Case{StudyTable::foods, "id", "barley", "is there already"},
             Case{StudyTable::foods, "role", "placebo", "is not known"},
             Case{StudyTable::foods, "portion_g", "-1", "is negative"},
             Case{StudyTable::analytes, "id", "remark", "name of another column"},
             Case{StudyTable::analytes, "id", " x", "blanks at its ends"},
             Case{StudyTable::analytes, "unit", "furlong", "not a known unit"},
         }) {
        const auto done = set(one.table, 0, one.column, one.text);
        ASSERT_FALSE(done) << one.column << ' ' << one.text;
        EXPECT_THAT(done.problem().what, HasSubstr(one.reason));
        EXPECT_FALSE(done.problem().remedy.empty());
        EXPECT_TRUE(study_ == before);
    }
    EXPECT_FALSE(apply(study_, SetCell{StudyTable::samples, 3, 0, "01"}));
    EXPECT_FALSE(apply(study_, SetCell{StudyTable::samples, 0, 9, "01"}));
    EXPECT_FALSE(apply(study_, InsertRow{StudyTable::samples, 0, {"01"}}));
    EXPECT_FALSE(apply(study_, RemoveRow{StudyTable::visits, 0}));
    EXPECT_TRUE(study_ == before);
}

TEST_F(Edit, AVisitStandsOnce) {
    ASSERT_TRUE(
        apply(study_, InsertRow{StudyTable::visits, 0, {"01", "drink", "1", "", "2026-02-03", "", ""}}));
    EXPECT_FALSE(apply(study_, InsertRow{StudyTable::visits, 1, {"01", "drink", "", "", "", "", ""}}));
    ASSERT_TRUE(apply(study_, InsertRow{StudyTable::visits, 1, {"01", "drink", "2", "", "", "", ""}}));
    const auto done = set(StudyTable::visits, 1, "visit", "1");
    ASSERT_FALSE(done);
    EXPECT_THAT(done.problem().what, HasSubstr("subject 01, drink, visit 1 is in the visits already"));
    EXPECT_FALSE(set(StudyTable::visits, 0, "date", "2026-02-30"));
    EXPECT_FALSE(set(StudyTable::visits, 0, "meal_start", "24:00"));
}

TEST_F(Edit, ANewUnitLeavesTheNumbers) {
    ASSERT_TRUE(set(StudyTable::analytes, 0, "unit", "mg/dl"));
    EXPECT_EQ(study_.analytes[0].unit, "mg/dL");
    EXPECT_THAT(study_.concentrations[0][0], Optional(4.6));
}

TEST_F(Edit, ListsAreChecked) {
    const Study before = study_;
    SetExclusions all{{Exclusion{}}};
    EXPECT_FALSE(apply(study_, all));
    SetExclusions unexplained{{Exclusion{"02", "", {}, "", "", "", "", {}}}};
    ASSERT_TRUE(apply(study_, unexplained));
    EXPECT_EQ(study_.exclusions[0].reason, "no reason given");
    SetPlan plan{study_.plan};
    plan.plan.alpha = std::numeric_limits<double>::quiet_NaN();
    EXPECT_FALSE(apply(study_, plan));
    EXPECT_FALSE(apply(study_, SetTitle{"two\nlines"}));
    EXPECT_FALSE(apply(study_, SetAccepted{{Acceptance{"x\ty", "", "", {}, "", {}, "", "", ""}}}));
    EXPECT_TRUE(study_.plan == before.plan);
}

TEST_F(Edit, ChangesAreDescribedInOneLine) {
    EXPECT_EQ(describe(study_, SetCell{StudyTable::samples, 1, 7, "7.1"}),
              "subject 01, drink, visit 1, 15 min, glucose: <2 → 7.1");
    EXPECT_EQ(describe(study_, SetCell{StudyTable::samples, 0, 8, "a\nb"}),
              "subject 01, drink, visit 1, 0 min, remark: (empty) → a?b");
    EXPECT_EQ(describe(study_, RemoveRow{StudyTable::foods, 1}), "row removed from the foods: food barley");
    EXPECT_EQ(describe(study_, InsertRow{StudyTable::subjects, 2, {"03", "AB", "", "31", ""}}),
              "row added to the subjects: subject 03, sequence AB, age_y 31");
    EXPECT_EQ(describe(study_, SetTitle{"New"}), "title: Invented barley study → New");
    SetPlan plan{study_.plan};
    plan.plan.windowEndMin = 90;
    plan.plan.comparator = "";
    EXPECT_EQ(describe(study_, plan), "plan: window_end_min 120 → 90, comparator drink → (empty)");
    EXPECT_EQ(describe(study_, SetExclusions{}), "exclusion removed: subject 01, drink (vomited)");
    EXPECT_EQ(describe(study_, SetAccepted{}), "accepted warning removed: washout, drink, glucose (seen)");
    EXPECT_EQ(describe(study_, SetCell{StudyTable::samples, 99, 0, ""}), "a cell that is not there");
}

TEST(EditOfNothing, AStudyCanBeMadeFromNothing) {
    Study study;
    EXPECT_FALSE(apply(study, RemoveRow{StudyTable::foods, 0}));
    EXPECT_FALSE(apply(study, SetCell{StudyTable::samples, 0, 0, ""}));
    std::vector<Change> inverses;
    for (const Change& change :
         {Change{SetTitle{"Pilot"}},
          Change{InsertRow{StudyTable::foods,
                           0,
                           {"drink", "", "reference", "50", "", "", "1000", "", "", "", "", "", "", "2.5"}}},
          Change{InsertRow{StudyTable::subjects, 0, {"01", "", "", "", ""}}},
          Change{InsertRow{StudyTable::analytes, 0, {"glucose", "mmol/L", ""}}},
          Change{InsertRow{StudyTable::samples, 0, {"01", "drink", "", "", "0", "", "", "4.5", ""}}}}) {
        auto inverse = apply(study, change);
        ASSERT_TRUE(inverse) << describe(study, change);
        inverses.push_back(std::move(inverse).value());
    }
    EXPECT_EQ(study.foods[0].label, "drink");
    EXPECT_EQ(study.foods[0].composition.energyKj, 1000.0);
    EXPECT_EQ(study.foods[0].composition.fibreG, 2.5);
    EXPECT_THAT(study.concentrations, ElementsAre(ElementsAre(Optional(4.5))));
    for (; !inverses.empty(); inverses.pop_back()) {
        ASSERT_TRUE(apply(study, inverses.back()));
    }
    EXPECT_TRUE(study == Study{});
}

}  // namespace
}  // namespace aftercurve
