// Properties over seeded random studies and changes: what is done can be taken back, and what fails leaves
// nothing behind.
#include <gtest/gtest.h>

#include "core/edit/edit.h"
#include "core/edit/unsaved_changes.h"
#include "core/files/study_folder.h"
#include "tests/core/files/problem_matchers.h"
#include "tests/support/random_study.h"
#include "tests/support/temp_folder.h"

namespace aftercurve {
namespace {

constexpr std::uint64_t studies = 60;
constexpr int changesEach = 60;

Study randomlyRead(test::Generator& g) {
    const test::TempFolder folder;
    for (const auto& [name, bytes] : test::randomFolder(g)) {
        folder.write(name, bytes);
    }
    StudyReading reading = readStudyFolder(folder.path());
    EXPECT_TRUE(reading.study) << linesOf(reading.problems);
    return reading.study.value_or(Study{});
}

TEST(EditProperty, AChangeAndItsInverseAreNothingAndAFailureChangesNothing) {
    std::size_t done = 0;
    std::size_t failed = 0;
    for (std::uint64_t seed = 1; seed <= studies; ++seed) {
        test::Generator g{seed};
        Study study = randomlyRead(g);
        for (int i = 0; i < changesEach; ++i) {
            const Change change = test::randomChange(g, study);
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
        }
    }
    // Both kinds occur often.
    EXPECT_GT(done, studies * changesEach / 3);
    EXPECT_GT(failed, studies * changesEach / 10);
}

TEST(EditProperty, AllInversesInReverseGiveTheStart) {
    for (std::uint64_t seed = 1; seed <= studies; ++seed) {
        test::Generator g{seed + 1000};
        const Study start = randomlyRead(g);
        Study study = start;
        std::vector<Change> inverses;
        for (int i = 0; i < changesEach; ++i) {
            if (auto inverse = apply(study, test::randomChange(g, study))) {
                inverses.push_back(std::move(inverse).value());
            }
        }
        for (; !inverses.empty(); inverses.pop_back()) {
            const auto done = apply(study, inverses.back());
            ASSERT_TRUE(done) << "seed " << seed << ": " << done.problem().what;
        }
        ASSERT_TRUE(study == start) << "seed " << seed;
    }
}

TEST(EditProperty, ChangesReplayedFromTheirTextGiveTheSameStudy) {
    for (std::uint64_t seed = 1; seed <= studies; ++seed) {
        test::Generator g{seed + 2000};
        const Study start = randomlyRead(g);
        Study study = start;
        std::vector<std::string> log;
        for (int i = 0; i < changesEach; ++i) {
            const Change change = test::randomChange(g, study);
            if (auto inverse = apply(study, change)) {
                log.push_back(changeJson(change));
                if (g.oneIn(4)) {
                    ASSERT_TRUE(apply(study, inverse.value()));
                    log.push_back(changeJson(inverse.value()));
                }
            }
        }
        Study replayed = start;
        for (const std::string& line : log) {
            const auto change = changeFrom(line);
            ASSERT_TRUE(change) << line << '\n' << change.problem().what;
            ASSERT_TRUE(apply(replayed, change.value())) << line;
        }
        ASSERT_TRUE(replayed == study) << "seed " << seed;
    }
}

TEST(EditProperty, EveryCellHoldsTheTextThatPutsItBack) {
    for (std::uint64_t seed = 1; seed <= studies; ++seed) {
        test::Generator g{seed + 3000};
        const Study start = randomlyRead(g);
        Study study = start;
        for (const StudyTable table : {StudyTable::samples, StudyTable::visits, StudyTable::subjects,
                                       StudyTable::foods, StudyTable::analytes}) {
            for (std::size_t row = 0; row < rowCount(study, table); ++row) {
                for (std::size_t column = 0; column < columnsOf(study, table).size(); ++column) {
                    const std::string text = cellText(study, table, row, column);
                    const auto done = apply(study, SetCell{table, row, column, text});
                    ASSERT_TRUE(done) << nameOf(table) << ' ' << row << ' ' << column << ": " << text << ": "
                                      << done.problem().what;
                }
            }
        }
        ASSERT_TRUE(study == start) << "seed " << seed;
    }
}

}  // namespace
}  // namespace aftercurve
