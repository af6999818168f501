// Properties of saving over seeded random folders and changes.
#include <gtest/gtest.h>

#include "core/edit/save_study.h"
#include "core/files/ledger.h"
#include "core/files/study_folder.h"
#include "tests/core/files/problem_matchers.h"
#include "tests/support/random_study.h"
#include "tests/support/temp_folder.h"

namespace aftercurve {
namespace {

Study writtenAndRead(const test::TempFolder& folder, const std::map<std::string, std::string>& files) {
    for (const auto& [name, bytes] : files) {
        folder.write(name, bytes);
    }
    StudyReading reading = readStudyFolder(folder.path());
    EXPECT_TRUE(reading.study) << linesOf(reading.problems);
    return reading.study.value_or(Study{});
}

MadeChange made(const Study& before, const Change& change) {
    return {change, describe(before, change), "", "", "AB", "2026-03-02T10:11:12Z", "typing error"};
}

std::vector<std::string> linesOfFile(const std::string& text) {
    std::vector<std::string> lines(1);
    for (std::size_t i = 0; i < text.size(); ++i) {
        const bool crlf = text[i] == '\r' && i + 1 < text.size() && text[i + 1] == '\n';
        if (text[i] == '\n' || text[i] == '\r') {
            lines.emplace_back();
            i += crlf ? 1 : 0;
        } else {
            lines.back() += text[i];
        }
    }
    return lines;
}

TEST(SaveProperty, ASavedStudyIsReadBackEqualAndItsChangesCanStillBeTakenBack) {
    std::size_t saved = 0;
    std::size_t refused = 0;
    for (std::uint64_t seed = 1; seed <= 150; ++seed) {
        const test::TempFolder folder;
        test::Generator g{seed};
        Study study = writtenAndRead(folder, test::randomFolder(g));
        for (int round = 0; round < 2; ++round) {
            std::vector<MadeChange> changes;
            std::vector<Change> inverses;
            for (std::size_t i = g.below(14); i > 0; --i) {
                const Change change = test::randomChange(g, study);
                const Study before = study;
                if (auto inverse = apply(study, change)) {
                    changes.push_back(made(before, change));
                    inverses.push_back(std::move(inverse).value());
                }
            }
            const Study edited = study;
            const auto done = saveStudy(folder.path(), study, changes);
            if (!done) {
                // Only what no file can hold: no sample left in a file, or a column whose name clashes.
                const std::string& what = done.problem().what;
                ASSERT_TRUE(what.find("no row of data") != std::string::npos ||
                            what.find("is not read so far") != std::string::npos ||
                            what.find("empty list") != std::string::npos)
                    << "seed " << seed << ": " << what << '\n'
                    << lineFor(done.problem());
                ASSERT_TRUE(study == edited);
                ++refused;
                break;
            }
            ++saved;
            const StudyReading reading = readStudyFolder(folder.path());
            ASSERT_TRUE(reading.study) << "seed " << seed << '\n' << linesOf(reading.problems);
            ASSERT_TRUE(*reading.study == study) << "seed " << seed;
            // The order of every table is as before, so the changes can be taken back.
            for (const StudyTable table : {StudyTable::samples, StudyTable::visits, StudyTable::subjects,
                                           StudyTable::foods, StudyTable::analytes}) {
                ASSERT_EQ(rowCount(study, table), rowCount(edited, table));
                for (std::size_t row = 0; row < rowCount(study, table); ++row) {
                    ASSERT_EQ(cellText(study, table, row, 0), cellText(edited, table, row, 0));
                }
            }
            Study back = study;
            for (; !inverses.empty(); inverses.pop_back()) {
                const auto undone = apply(back, inverses.back());
                ASSERT_TRUE(undone) << "seed " << seed << ": " << undone.problem().what;
            }
            if (g.oneIn(3)) {
                const auto again = saveStudy(folder.path(), back, {});
                ASSERT_TRUE(again) << "seed " << seed << ": " << again.problem().what;
                ASSERT_TRUE(readStudyFolder(folder.path()).study == back) << "seed " << seed;
                break;
            }
        }
    }
    EXPECT_GT(saved, 150u);
    EXPECT_LT(refused, 75u);
}

TEST(SaveProperty, RowsThatNoChangeTouchedKeepTheirBytes) {
    std::size_t compared = 0;
    for (std::uint64_t seed = 1; seed <= 150; ++seed) {
        const test::TempFolder folder;
        test::Generator g{seed + 5000};
        const auto files = test::randomFolder(g, true);
        Study study = writtenAndRead(folder, files);
        // Rows by their old line where nothing touched them, in the order of the study.
        std::vector<std::uint32_t> lines;
        for (const Draw& draw : study.draws) {
            lines.push_back(draw.row);
        }
        std::vector<MadeChange> changes;
        for (int i = 0; i < 4; ++i) {
            const Change change = test::randomChange(g, study, true);
            const Study before = study;
            if (!apply(study, change)) {
                continue;
            }
            changes.push_back(made(before, change));
            if (const auto* cell = std::get_if<SetCell>(&change)) {
                lines[cell->row] = 0;
            } else if (const auto* added = std::get_if<InsertRow>(&change)) {
                lines.insert(lines.begin() + static_cast<std::ptrdiff_t>(added->row), 0);
            } else if (const auto* gone = std::get_if<RemoveRow>(&change)) {
                lines.erase(lines.begin() + static_cast<std::ptrdiff_t>(gone->row));
            }
        }
        if (!saveStudy(folder.path(), study, changes)) {
            continue;
        }
        ASSERT_EQ(lines.size(), study.draws.size());
        for (std::size_t i = 0; i < lines.size(); ++i) {
            if (lines[i] == 0) {
                continue;
            }
            const std::string& name = study.sampleFiles[study.draws[i].file];
            const auto before = linesOfFile(files.at(name));
            const auto after = linesOfFile(folder.read(name));
            const std::string& was = before[lines[i] - 1];
            const std::string& now = after[study.draws[i].row - 1];
            // Where a column was added, its cell follows.
            const bool wider = after[0].size() != before[0].size();
            ASSERT_EQ(now.substr(0, was.size()), was) << "seed " << seed;
            ASSERT_TRUE(now.size() == was.size() || wider) << "seed " << seed << '\n' << now;
            ++compared;
        }
    }
    EXPECT_GT(compared, 1000u);
}

TEST(SaveProperty, ASaveWithoutAChangeTouchesNothing) {
    for (std::uint64_t seed = 1; seed <= 100; ++seed) {
        const test::TempFolder folder;
        test::Generator g{seed + 7000};
        const auto files = test::randomFolder(g);
        Study study = writtenAndRead(folder, files);
        const Study before = study;
        ASSERT_TRUE(saveStudy(folder.path(), study, {})) << "seed " << seed;
        EXPECT_TRUE(study == before) << "seed " << seed;
        for (const auto& [name, bytes] : files) {
            ASSERT_EQ(folder.read(name), bytes) << "seed " << seed;
        }
        EXPECT_FALSE(std::filesystem::exists(folder.path() / ledgerName));
    }
}

TEST(SaveProperty, ANewStudyIsReadBackEqual) {
    for (std::uint64_t seed = 1; seed <= 150; ++seed) {
        const test::TempFolder from;
        const test::TempFolder to;
        test::Generator g{seed + 9000};
        Study study = writtenAndRead(from, test::randomFolder(g));
        for (int i = 0; i < 5; ++i) {
            (void)apply(study, test::randomChange(g, study)).ok();
        }
        const bool bare = g.oneIn(2);
        if (bare) {
            study.studyJson.clear();
        }
        const auto done = writeNewStudy(to.path() / "new", study);
        if (!done) {
            EXPECT_NE(done.problem().what.find("no row of data"), std::string::npos)
                << "seed " << seed << ": " << done.problem().what;
            continue;
        }
        const StudyReading reading = readStudyFolder(to.path() / "new");
        ASSERT_TRUE(reading.study) << linesOf(reading.problems);
        // What the folder alone knows is taken from there; names are given where one was needed.
        study.inputs = reading.study->inputs;
        study.studyJson = reading.study->studyJson;
        for (std::size_t i = 0; i < study.draws.size(); ++i) {
            study.draws[i].row = reading.study->draws[i].row;
        }
        for (std::size_t i = 0; i < study.visits.size(); ++i) {
            study.visits[i].row = reading.study->visits[i].row;
        }
        if (study.subjectsFile.empty()) {
            study.subjectsFile = reading.study->subjectsFile;
        }
        if (study.visitsFile.empty()) {
            study.visitsFile = reading.study->visitsFile;
        }
        ASSERT_TRUE(*reading.study == study) << "seed " << seed;
    }
}

}  // namespace
}  // namespace aftercurve
