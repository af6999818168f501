// Properties of changes of assays, fibre, recipes and diaries, over seeded random changes.
#include <gtest/gtest.h>

#include <filesystem>

#include "core/edit/save_study.h"
#include "core/edit/unsaved_changes.h"
#include "core/files/study_folder.h"
#include "tests/core/edit/table_editor.h"
#include "tests/support/random_study.h"

namespace aftercurve {
namespace {

constexpr std::uint64_t seeds = 40;
constexpr int changesEach = 60;

Change nextChange(test::Generator& g, const Study& study) {
    return g.oneIn(8) ? test::randomChange(g, study) : test::randomLaboratoryChange(g, study);
}

TEST(LaboratoryProperty, AChangeAndItsInverseAreNothingAndAFailureChangesNothing) {
    const Study start = test::laboratoryStudy();
    std::size_t done = 0;
    std::size_t failed = 0;
    for (std::uint64_t seed = 1; seed <= seeds; ++seed) {
        test::Generator g{seed};
        Study study = start;
        std::vector<Change> inverses;
        Study replayed = start;
        for (int i = 0; i < changesEach; ++i) {
            const Change change = nextChange(g, study);
            const Study before = study;
            const auto inverse = apply(study, change);
            if (!inverse) {
                ++failed;
                ASSERT_TRUE(study == before) << "seed " << seed << ": " << describe(before, change);
                EXPECT_FALSE(inverse.problem().remedy.empty());
                continue;
            }
            ++done;
            Study back = study;
            const auto again = apply(back, inverse.value());
            ASSERT_TRUE(again) << "seed " << seed << ": " << describe(before, change) << '\n'
                               << again.problem().what;
            ASSERT_TRUE(back == before) << "seed " << seed << ": " << describe(before, change);
            inverses.push_back(inverse.value());
            // The log of unsaved changes gives the same study.
            const auto read = changeFrom(changeJson(change));
            ASSERT_TRUE(read) << changeJson(change) << '\n' << read.problem().what;
            ASSERT_TRUE(apply(replayed, read.value()));
            ASSERT_TRUE(replayed == study) << changeJson(change);
        }
        for (; !inverses.empty(); inverses.pop_back()) {
            const auto read = changeFrom(changeJson(inverses.back()));
            ASSERT_TRUE(read) << changeJson(inverses.back());
            const auto undone = apply(study, read.value());
            ASSERT_TRUE(undone) << "seed " << seed << ": " << undone.problem().what;
        }
        ASSERT_TRUE(study == start) << "seed " << seed;
    }
    // Both kinds occur often.
    EXPECT_GT(done, seeds * changesEach / 4);
    EXPECT_GT(failed, seeds * changesEach / 10);
}

TEST(LaboratoryProperty, EveryCellHoldsTheTextThatPutsItBack) {
    const Study start = test::laboratoryStudy();
    Study study = start;
    for (const StudyTable table : allStudyTables) {
        for (std::size_t row = 0; row < rowCount(study, table); ++row) {
            for (std::size_t column = 0; column < columnsOf(study, table).size(); ++column) {
                const std::string text = cellText(study, table, row, column);
                ASSERT_TRUE(apply(study, SetCell{table, row, column, text})) << nameOf(table) << ": " << text;
            }
        }
    }
    EXPECT_TRUE(study == start);
}

TEST(LaboratoryProperty, ASavedStudyIsReadBackEqualAndItsChangesCanStillBeTakenBack) {
    std::size_t saved = 0;
    for (std::uint64_t seed = 1; seed <= seeds; ++seed) {
        const test::LaboratoryFolder files;
        test::Generator g{seed + 500};
        Study study = files.read().study.value();
        std::vector<MadeChange> changes;
        std::vector<Change> inverses;
        for (std::size_t i = 1 + g.below(14); i > 0; --i) {
            const Change change = test::randomLaboratoryChange(g, study);
            const std::string text = describe(study, change);
            if (auto inverse = apply(study, change)) {
                changes.push_back({change, text, "", "", "AB", "2026-03-02T10:11:12Z", "typing error"});
                inverses.push_back(std::move(inverse).value());
            }
        }
        const Study edited = study;
        const auto done = saveStudy(files.folder.path(), study, changes);
        if (!done) {
            // Only a column that was not read so far stands in the way.
            ASSERT_TRUE(done.problem().what.find("is not read so far") != std::string::npos)
                << "seed " << seed << ": " << lineFor(done.problem());
            ASSERT_TRUE(study == edited);
            continue;
        }
        ++saved;
        ASSERT_TRUE(files.read().study == study) << "seed " << seed;
        for (; !inverses.empty(); inverses.pop_back()) {
            const auto undone = apply(study, inverses.back());
            ASSERT_TRUE(undone) << "seed " << seed << ": " << undone.problem().what;
        }
        const auto again = saveStudy(files.folder.path(), study, {});
        ASSERT_TRUE(again) << "seed " << seed << ": " << lineFor(again.problem());
        ASSERT_TRUE(files.read().study == study) << "seed " << seed;
    }
    EXPECT_GT(saved, seeds / 2);
}

/// Cells whose columns the files of the sample study have, so that taking them back leaves no column behind.
TEST(LaboratoryProperty, CellsTakenBackAfterSavingGiveTheBytesOfTheSampleStudyAgain) {
    const std::filesystem::path sample = std::string{TEST_SOURCE_ROOT} + "/sample_studies/kelp-barley-crisps";
    const std::vector<std::string> names{"study.json", "assays.csv", "fibre.csv", "diary.csv"};
    const test::TempFolder folder;
    std::filesystem::copy(sample, folder.path(), std::filesystem::copy_options::recursive);
    std::vector<std::string> was;
    for (const std::string& name : names) {
        was.push_back(folder.read(name));
    }
    test::TableEditor edit{readStudyFolder(folder.path()).study.value()};
    std::vector<Change> inverses;
    std::vector<MadeChange> changes;
    const auto change = [&](const Change& one) {
        const std::string text = describe(edit.study, one);
        auto inverse = apply(edit.study, one);
        ASSERT_TRUE(inverse) << text << ": " << inverse.problem().what;
        inverses.push_back(std::move(inverse).value());
        changes.push_back({one, text, "", "", "AB", "2026-03-02T10:11:12Z", "typing error"});
    };
    const auto set = [&](StudyTable table, std::size_t row, const std::string& column,
                         const std::string& text) {
        change(SetCell{table, row, edit.column(table, column), text});
    };
    set(StudyTable::assays, 0, "value", "lost");
    set(StudyTable::assaySamples, 1, "id", "crisp without starch");
    set(StudyTable::assaySamples, 2, "moisture_percent", "5");
    set(StudyTable::fibre, 0, "value", "11");
    set(StudyTable::recipes, 0, "serving_g", "31");
    set(StudyTable::recipeParts, 2, "material", "kelp flour");
    set(StudyTable::diaryItems, 2, "id", "pain");
    set(StudyTable::diary, 5, "pain", "3");
    set(StudyTable::events, 0, "severity", "severe");
    ASSERT_TRUE(saveStudy(folder.path(), edit.study, changes));
    for (std::size_t i = 0; i < names.size(); ++i) {
        EXPECT_NE(folder.read(names[i]), was[i]) << names[i];
    }
    changes.clear();
    for (const std::vector<Change> list{inverses.rbegin(), inverses.rend()}; const Change& one : list) {
        change(one);
    }
    ASSERT_TRUE(saveStudy(folder.path(), edit.study, changes));
    for (std::size_t i = 0; i < names.size(); ++i) {
        EXPECT_EQ(folder.read(names[i]), was[i]) << names[i];
    }
}

}  // namespace
}  // namespace aftercurve
