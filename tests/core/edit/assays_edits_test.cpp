#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <limits>

#include "core/edit/edit.h"
#include "tests/core/edit/table_editor.h"

namespace aftercurve {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;

constexpr auto readings = StudyTable::assays;
constexpr auto samples = StudyTable::assaySamples;

TEST(AssaysEdits, CellsStandAsInTheFileAndAFlawedOneShowsItsText) {
    const test::TableEditor edit{test::laboratoryStudy()};
    EXPECT_EQ(rowCount(edit.study, readings), 5u);
    EXPECT_EQ(edit.at(readings, 0, "sample"), "");
    EXPECT_EQ(edit.at(readings, 0, "blank"), "yes");
    EXPECT_EQ(edit.at(readings, 1, "value"), "41");
    EXPECT_EQ(edit.at(readings, 2, "value"), "41,5");
    EXPECT_EQ(edit.at(readings, 3, "sample_mass_mg"), "0");
    EXPECT_EQ(edit.at(samples, 0, "label"), "bread");
    EXPECT_EQ(edit.at(samples, 0, "reference"), "yes");
    EXPECT_EQ(edit.at(samples, 1, "moisture_percent"), "12");
}

TEST(AssaysEdits, AFlawGoesWithAGoodValueAndComesWithABadOne) {
    test::TableEditor edit{test::laboratoryStudy()};
    EXPECT_THAT(edit.study.assays.readings[2].flaw, HasSubstr("decimal comma"));
    EXPECT_THAT(edit.set(readings, 2, "value", "41.5"), IsEmpty());
    EXPECT_THAT(edit.study.assays.readings[2].flaw, IsEmpty());
    EXPECT_EQ(edit.study.assays.readings[2].value, 41.5);
    EXPECT_THAT(edit.set(readings, 3, "value", "lost"), IsEmpty());
    // Both cells are wrong now; the mass was wrong before, and stays so.
    EXPECT_EQ(edit.study.assays.readings[3].valueText, "lost");
    EXPECT_EQ(edit.study.assays.readings[3].massText, "0");
    EXPECT_THAT(edit.study.assays.readings[3].flaw, HasSubstr("the mass '0' is not above 0"));
    EXPECT_THAT(edit.set(readings, 3, "sample_mass_mg", "499"), IsEmpty());
    EXPECT_THAT(edit.study.assays.readings[3].flaw, HasSubstr("the value 'lost'"));
    EXPECT_THAT(edit.set(readings, 3, "value", "-0.2"), IsEmpty());
    EXPECT_THAT(edit.study.assays.readings[3].flaw, IsEmpty());
}

TEST(AssaysEdits, ARowIsRefusedForWhatTheReaderRefuses) {
    test::TableEditor edit{test::laboratoryStudy()};
    EXPECT_THAT(edit.set(readings, 1, "sample", "rye"), HasSubstr("sample: there is no sample 'rye'"));
    EXPECT_THAT(edit.set(readings, 1, "sample", ""), HasSubstr("sample: the sample is empty"));
    EXPECT_THAT(edit.set(readings, 0, "blank", "no"), HasSubstr("sample: the sample is empty"));
    EXPECT_THAT(edit.set(readings, 1, "blank", "perhaps"), HasSubstr("blank"));
    EXPECT_THAT(edit.set(readings, 1, "time_min", "-1"), HasSubstr("time_min"));
    EXPECT_THAT(edit.set(readings, 1, "time_min", ""), HasSubstr("time_min"));
    EXPECT_THAT(edit.set(readings, 1, "replicate", "0"), HasSubstr("replicate"));
    EXPECT_THAT(edit.set(readings, 1, "replicate", "2"), HasSubstr("is there twice"));
    EXPECT_THAT(edit.set(readings, 1, "run", std::string(101, 'x')), HasSubstr("run"));
    EXPECT_THAT(edit.set(readings, 1, "run", "a\nb"), HasSubstr("run"));
    EXPECT_THAT(edit.insert(readings, 5, {"bread", "A", "1", "20", "1", "", ""}),
                HasSubstr("is there twice"));
}

TEST(AssaysEdits, RowsComeAndGoAtAnyPlace) {
    test::TableEditor edit{test::laboratoryStudy()};
    EXPECT_THAT(edit.insert(readings, 0, {"bread", "", "", "60", "", "", ""}), IsEmpty());
    EXPECT_EQ(edit.study.assays.readings[0].run, "1");
    EXPECT_EQ(edit.study.assays.readings[0].replicate, 1);
    EXPECT_FALSE(edit.study.assays.readings[0].value);
    for (std::size_t row = 0; row < 6; ++row) {
        EXPECT_THAT(edit.remove(readings, 0), IsEmpty()) << row;
    }
    EXPECT_EQ(rowCount(edit.study, readings), 0u);
}

TEST(AssaysEdits, ARenamedSampleIsRenamedInReadingsExclusionsAndLooks) {
    test::TableEditor edit{test::laboratoryStudy()};
    Exclusion ofSample;
    ofSample.material = "flour";
    ofSample.reason = "spilt";
    Exclusion ofFibre = ofSample;
    ofFibre.method = "2009.01";
    edit.study.exclusions.insert(edit.study.exclusions.end(), {ofSample, ofFibre});
    edit.study.figures.resize(1);
    edit.study.figures[0].style.foods.resize(1);
    edit.study.figures[0].style.foods[0].food = "sample:flour";
    ASSERT_THAT(edit.set(samples, 1, "id", "barley flour"), IsEmpty());
    EXPECT_EQ(edit.study.assays.readings[1].sample, "barley flour");
    EXPECT_EQ(edit.study.assays.readings[4].sample, "bread");
    EXPECT_EQ(edit.study.exclusions[1].material, "barley flour");
    EXPECT_EQ(edit.study.exclusions[2].material, "flour");
    EXPECT_EQ(edit.study.figures[0].style.foods[0].food, "sample:barley flour");
    edit.study.exclusions[2].method.clear();
    EXPECT_THAT(edit.set(samples, 0, "id", "flour"), HasSubstr("an exclusion names 'flour' already"));
}

TEST(AssaysEdits, SamplesKeepTheRulesOfStudyJson) {
    test::TableEditor edit{test::laboratoryStudy()};
    EXPECT_THAT(edit.set(samples, 0, "id", "flour"), HasSubstr("is there already"));
    EXPECT_THAT(edit.set(samples, 0, "id", ""), HasSubstr("it is empty"));
    EXPECT_THAT(edit.set(samples, 0, "food", "rye"), HasSubstr("there is no food 'rye'"));
    EXPECT_THAT(edit.set(samples, 0, "food", "drink"), IsEmpty());
    EXPECT_THAT(edit.set(samples, 1, "reference", "yes"), HasSubstr("2 entries with \"reference\""));
    EXPECT_THAT(edit.set(samples, 1, "moisture_percent", "100"), HasSubstr("moisture_percent"));
    EXPECT_THAT(edit.set(samples, 1, "total_starch_percent", "101"), HasSubstr("total_starch_percent"));
    EXPECT_THAT(edit.set(samples, 1, "total_starch_percent", "5,4"), HasSubstr("decimal comma"));
    EXPECT_THAT(edit.remove(samples, 1), HasSubstr("has readings in the assays"));
    EXPECT_THAT(edit.insert(samples, 1, {"rye", "", "", "", "", "", "", "", ""}), IsEmpty());
    EXPECT_EQ(edit.study.assays.samples[1].label, "rye");
    EXPECT_THAT(edit.remove(samples, 1), IsEmpty());
}

TEST(AssaysEdits, AFoodThatNoTableHasCanBeMendedAndTheMendingTakenBack) {
    test::TableEditor edit{test::laboratoryStudy()};
    edit.study.assays.samples[1].food = "crsip";
    EXPECT_THAT(edit.set(samples, 1, "food", "crsip"), IsEmpty());
    EXPECT_THAT(edit.set(samples, 1, "food", "crisp"), IsEmpty());
    EXPECT_THAT(edit.set(samples, 1, "food", "crsip"), HasSubstr("there is no food"));
}

TEST(AssaysEdits, SettingsAreCheckedTogetherWithTheSamples) {
    test::TableEditor edit{test::laboratoryStudy()};
    SetAssaySettings set{edit.study.assays};
    set.settings.rapidCutMin = 30;
    set.settings.comparison = "dunnett";
    set.settings.samples.clear();
    EXPECT_THAT(edit.make(set), IsEmpty());
    EXPECT_EQ(edit.study.assays.rapidCutMin, 30);
    EXPECT_EQ(edit.study.assays.samples.size(), 2u);
    EXPECT_THAT(edit.set(samples, 0, "reference", "no"), HasSubstr("no sample is the reference"));
    set.settings.slowCutMin = 30;
    EXPECT_THAT(edit.make(set), HasSubstr("slow_cut_min"));
    set.settings.slowCutMin = std::numeric_limits<double>::infinity();
    EXPECT_THAT(edit.make(set), HasSubstr("not finite"));
    set.settings = edit.study.assays;
    set.settings.quantity = AssayQuantity::starchPercent;
    EXPECT_THAT(edit.make(set), HasSubstr("the readings have values"));
    for (std::size_t row = 0; row < rowCount(edit.study, readings); ++row) {
        EXPECT_THAT(edit.set(readings, row, "value", ""), IsEmpty());
    }
    EXPECT_THAT(edit.make(set), IsEmpty());
    EXPECT_EQ(describe(test::laboratoryStudy(), SetAssaySettings{edit.study.assays}),
              "settings of the assays: quantity glucose-mg → starch-percent, rapid_cut_min 20 → 30, "
              "comparison tukey → dunnett");
}

TEST(AssaysEdits, ChangesAreDescribedByTheirPlace) {
    const Study study = test::laboratoryStudy();
    EXPECT_EQ(describe(study, SetCell{readings, 1, 4, "42"}),
              "sample flour, run A, replicate 1, 20 min, value: 41 → 42");
    EXPECT_EQ(describe(study, RemoveRow{readings, 0}),
              "row removed from the assays: blank, run A, replicate 1, 20 min");
    EXPECT_EQ(describe(study, SetCell{samples, 1, 2, ""}), "sample flour, food: crisp → (empty)");
    EXPECT_EQ(describe(study, InsertRow{samples, 2, {"rye", "", "", "yes", "", "", "", "", ""}}),
              "row added to the assay_samples: id rye, reference yes");
}

}  // namespace
}  // namespace aftercurve
