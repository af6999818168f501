#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <nlohmann/json.hpp>

#include "core/edit/save_study.h"
#include "core/files/ledger.h"
#include "tests/core/edit/table_editor.h"
#include "tests/support/study_files.h"

namespace aftercurve {
namespace {

using testing::HasSubstr;

/// The laboratory's folder, the study in it, and the changes made to that.
class SaveLaboratory : public testing::Test {
  protected:
    void change(const Change& wanted) {
        const std::string text = describe(edit_.study, wanted);
        const auto done = apply(edit_.study, wanted);
        ASSERT_TRUE(done) << text << ": " << done.problem().what;
        changes_.push_back({wanted, text, "", "", "AB", "2026-03-02T10:11:12Z", "typing error"});
    }
    void set(StudyTable table, std::size_t row, const std::string& column, const std::string& text) {
        change(SetCell{table, row, edit_.column(table, column), text});
    }
    void save() {
        const auto done = saveStudy(files_.folder.path(), edit_.study, changes_);
        ASSERT_TRUE(done) << lineFor(done.problem());
        changes_.clear();
        EXPECT_TRUE(files_.read().study == edit_.study);
    }
    std::string file(const std::string& name) const { return files_.folder.read(name); }
    nlohmann::json json() const { return nlohmann::json::parse(file("study.json")); }

    test::LaboratoryFolder files_;
    test::TableEditor edit_{files_.read().study.value()};
    std::vector<MadeChange> changes_;
};

TEST_F(SaveLaboratory, AChangedCellOfTheAssaysLeavesTheOthersTheirBytes) {
    const std::string diary = file("diary.csv");
    set(StudyTable::assays, 1, "value", "42");
    change(InsertRow{StudyTable::assays, 2, {"bread", "A", "2", "20", "5,5", "", ""}});
    change(RemoveRow{StudyTable::assays, 4});
    save();
    EXPECT_EQ(file("assays.csv"),
              "sample,run,replicate,time_min,value,sample_mass_mg,blank,bench\n"
              ",A,1,20,2.10,,yes,3\n"
              "flour,A,1,20,42,500,no,\"left, 2\"\n"
              "bread,A,2,20,\"5,5\",,no,\n"
              "flour,A,2,20,\"41,5\",500,,4\n"
              "bread,A,1,20,55.5,498,,4\n");
    EXPECT_EQ(file("diary.csv"), diary);
}

TEST_F(SaveLaboratory, ARenamedSampleKeepsItsEntryAndItsRows) {
    set(StudyTable::assaySamples, 1, "id", "barley");
    change(InsertRow{StudyTable::assaySamples, 0, {"rye", "Rye", "", "", "", "", "", "", ""}});
    save();
    const nlohmann::json samples = json()["assays"]["samples"];
    EXPECT_EQ(samples[2]["room"], "B4");
    EXPECT_EQ(samples[2]["id"], "barley");
    EXPECT_EQ(samples[1]["room"], "B3");
    EXPECT_FALSE(samples[0].contains("room"));
    EXPECT_EQ(json()["assays"]["room"], "B2");
    EXPECT_FALSE(json()["assays"].contains("interpolate"));
    EXPECT_THAT(file("assays.csv"), HasSubstr("\nbarley,A,1,20,41.0,500,no,\"left, 2\"\n"));
}

TEST_F(SaveLaboratory, AValueBelowALimitStaysInTheFibreFile) {
    set(StudyTable::fibre, 1, "moisture_percent", "12.5");
    set(StudyTable::fibre, 0, "laboratory", "North");
    save();
    EXPECT_EQ(file("fibre.csv"),
              "material,method,fraction,replicate,value,basis,moisture_percent,bench,laboratory\n"
              "Flour,2009.01,total,1,10.50,as-is,12.0,x,North\n"
              "Flour,2009.01,total,2,<0.5,,12.5,y,\n");
}

TEST_F(SaveLaboratory, RecipesKeepUnknownKeysUnderOtherNames) {
    set(StudyTable::recipeParts, 0, "material", "barley flour");
    set(StudyTable::recipes, 0, "id", "crisp dough");
    SetFibreSettings settings{edit_.study.fibre};
    settings.settings.targetG = 30;
    change(settings);
    save();
    const nlohmann::json recipe = json()["recipes"][0];
    EXPECT_EQ(recipe["room"], "C2");
    EXPECT_EQ(recipe["parts"][0]["room"], "C3");
    EXPECT_EQ(recipe["parts"][0]["material"], "barley flour");
    EXPECT_EQ(recipe["replace"], "barley flour");
    EXPECT_EQ(json()["fibre"]["room"], "C1");
    EXPECT_EQ(json()["fibre"]["target_g"], 30);
    // Written as it was: 30.0 grams.
    EXPECT_THAT(file("study.json"), HasSubstr("\"serving_g\": 30.0"));
}

TEST_F(SaveLaboratory, AnItemIsAColumnOfTheDiary) {
    set(StudyTable::diaryItems, 0, "id", "=fullness");
    change(InsertRow{StudyTable::diaryItems, 1, {"nausea", "", "", "", "", ""}});
    set(StudyTable::diary, 2, "nausea", "1");
    save();
    EXPECT_EQ(file("diary.csv"),
              "subject,food,period,day,ward,'=fullness,cramps,stool_form,nausea\n"
              "01,crisp,1,1,east,1,0,4,\n"
              "01,crisp,1,2,east,NA,2,+5,\n"
              "02,crisp,2,1,west,3,,7,1\n");
    const nlohmann::json items = json()["diary"]["items"];
    EXPECT_EQ(items[0]["room"], "D2");
    EXPECT_EQ(items[0]["id"], "=fullness");
    EXPECT_EQ(items[1]["id"], "nausea");
    EXPECT_EQ(json()["diary"]["events"][0]["room"], "D3");
}

TEST_F(SaveLaboratory, AColumnThatIsNotReadSoFarBecomesNoItem) {
    const std::string was = file("diary.csv");
    change(InsertRow{StudyTable::diaryItems, 2, {"ward", "", "", "", "", ""}});
    const auto done = saveStudy(files_.folder.path(), edit_.study, changes_);
    ASSERT_FALSE(done);
    EXPECT_THAT(done.problem().what, HasSubstr("the column 'ward' is not read so far"));
    EXPECT_EQ(file("diary.csv"), was);
}

TEST_F(SaveLaboratory, AnItemThatWentMayComeBack) {
    for (std::size_t row = 0; row < 3; ++row) {
        set(StudyTable::diary, row, "cramps", "");
    }
    const Study before = edit_.study;
    auto back = apply(edit_.study, RemoveRow{StudyTable::diaryItems, 1});
    ASSERT_TRUE(back);
    save();
    EXPECT_EQ(json()["diary"]["items"].size(), 1u);
    change(back.value());
    save();
    EXPECT_EQ(edit_.study.diary.items, before.diary.items);
    set(StudyTable::diary, 0, "cramps", "4");
    save();
    EXPECT_THAT(file("diary.csv"), HasSubstr("01,crisp,1,1,east,1,4,4\n"));
}

TEST_F(SaveLaboratory, EventsKeepTheirUnknownKeys) {
    change(InsertRow{StudyTable::events, 0, {"01", "", "3", "cough", "", "", "", "yes"}});
    set(StudyTable::events, 1, "outcome", "gone");
    change(RemoveRow{StudyTable::events, 2});
    save();
    const nlohmann::json events = json()["diary"]["events"];
    ASSERT_EQ(events.size(), 2u);
    EXPECT_EQ(events[1]["room"], "D3");
    EXPECT_EQ(events[1]["outcome"], "gone");
    EXPECT_FALSE(events[0].contains("room"));
}

TEST_F(SaveLaboratory, TheLedgerNamesThePlaces) {
    set(StudyTable::diary, 2, "bloating", "2");
    change(InsertRow{StudyTable::recipeParts, 3, {"dough", "salt", "1", "", "", "", "", ""}});
    change(RemoveRow{StudyTable::assays, 0});
    SetDiarySettings settings{edit_.study.diary};
    settings.settings.prorate = true;
    change(settings);
    save();
    const auto ledger = readLedger(files_.folder.path());
    ASSERT_TRUE(ledger);
    const auto& entries = ledger.value().check.entries;
    ASSERT_EQ(entries.size(), 4u);
    EXPECT_EQ(entries[0].where.table, "diary");
    EXPECT_EQ(entries[0].where.field, "bloating");
    EXPECT_EQ(entries[0].where.file, "diary.csv");
    EXPECT_EQ(entries[0].where.row, 4u);
    EXPECT_EQ(entries[0].where.subject, "02");
    EXPECT_EQ(entries[1].what, "row-added");
    EXPECT_EQ(entries[1].where.table, "recipe_parts");
    EXPECT_EQ(entries[2].what, "row-removed");
    EXPECT_EQ(entries[2].where.file, "assays.csv");
    EXPECT_EQ(entries[2].where.row, 2u);
    EXPECT_EQ(entries[3].where.table, "diary_settings");
}

TEST(SaveFirstRows, TablesWithoutAFileGetOne) {
    const test::StudyFiles files{"subject,food,time_min,glucose\n01,drink,0,4.6\n"};
    Study study = files.read().study.value();
    const Change changes[] = {
        InsertRow{StudyTable::assaySamples, 0, {"flour", "", "barley", "yes", "", "", "", "", ""}},
        InsertRow{StudyTable::assays, 0, {"flour", "", "", "20", "41", "", ""}},
        InsertRow{StudyTable::fibre, 0, {"Flour", "2009.01", "total", "", "10", "", "", ""}},
        InsertRow{StudyTable::recipes, 0, {"dough", "", "barley", "", "30", "", "", ""}},
        InsertRow{StudyTable::recipeParts, 0, {"dough", "flour", "70", "", "", "", "", ""}},
        InsertRow{StudyTable::diaryItems, 0, {"bloating", "", "", "", "", ""}},
        InsertRow{StudyTable::diary, 0, {"01", "drink", "", "1", "", "2", "", ""}},
        InsertRow{StudyTable::events, 0, {"01", "", "", "cough", "", "", "", ""}}};
    std::vector<MadeChange> made;
    for (const Change& one : changes) {
        const auto done = apply(study, one);
        ASSERT_TRUE(done) << done.problem().what;
        made.push_back({one, "", "", "", "AB", "2026-03-02T10:11:12Z", ""});
    }
    const auto saved = saveStudy(files.folder.path(), study, made);
    ASSERT_TRUE(saved) << lineFor(saved.problem());
    EXPECT_EQ(study.assays.file, "assays.csv");
    EXPECT_EQ(study.fibre.file, "fibre.csv");
    EXPECT_EQ(study.diary.file, "diary.csv");
    EXPECT_EQ(files.folder.read("diary.csv"), "subject,food,day,bloating\n01,drink,1,2\n");
    EXPECT_TRUE(files.read().study == study);
}

TEST(SaveFirstRows, SettingsOfAssaysThatHaveNoSampleYetAreSavedToo) {
    const test::StudyFiles files{"subject,food,time_min,glucose\n01,drink,0,4.6\n"};
    Study study = files.read().study.value();
    SetAssaySettings set;
    set.settings.rapidCutMin = 15;
    ASSERT_TRUE(apply(study, set));
    const auto saved = saveStudy(files.folder.path(), study, {});
    ASSERT_TRUE(saved) << lineFor(saved.problem());
    EXPECT_EQ(files.read().study->assays.rapidCutMin, 15);
}

}  // namespace
}  // namespace aftercurve
