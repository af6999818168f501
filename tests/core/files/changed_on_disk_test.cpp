#include "core/files/changed_on_disk.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/stat.h>

#include <string>

#include "core/files/file_hash.h"
#include "core/files/sha256.h"
#include "tests/support/study_files.h"

namespace aftercurve {
namespace {

namespace fs = std::filesystem;
using test::StudyFiles;
using testing::ElementsAre;
using testing::IsEmpty;
using testing::SizeIs;

constexpr const char* samplesCsv = "subject,food,time_min,glucose\n01,drink,0,5\n01,barley,0,4\n";

TEST(FileHash, IsThatOfTheBytes) {
    const test::TempFolder folder;
    // FIPS 180-4 examples (NIST, SHA-256 example values): "abc" and the empty message; from memory.
    folder.write("abc", "abc");
    EXPECT_EQ(sha256Inside(folder.path(), "abc").value(),
              "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    folder.write("empty", "");
    EXPECT_EQ(sha256Inside(folder.path(), "empty").value(),
              "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    const std::string large(5'000'000, 'a');  // several pieces
    folder.write("large", large);
    EXPECT_EQ(sha256Inside(folder.path(), "large").value(), sha256Hex(large));
    EXPECT_FALSE(sha256Inside(folder.path(), "large", 1000).ok());
    EXPECT_FALSE(sha256Inside(folder.path(), "../abc").ok());
    EXPECT_FALSE(sha256Inside(folder.path(), "absent").ok());
}

TEST(ChangedOnDisk, NamesWhatChangedIsMissingOrCannotBeRead) {
    const StudyFiles files{samplesCsv, test::smallStudyJson(R"(, "subjects": "subjects.csv")")};
    files.folder.write("subjects.csv", "subject,sex\n01,f\n");
    const auto inputs = files.read().study->inputs;
    const fs::path folder = files.folder.path();
    EXPECT_THAT(filesChanged(folder, inputs), IsEmpty());
    files.folder.write("samples.csv", samplesCsv);  // the same bytes, written again
    EXPECT_THAT(filesChanged(folder, inputs), IsEmpty());

    files.folder.write("samples.csv", std::string{samplesCsv} + "\n");
    fs::remove(folder / "subjects.csv");
    EXPECT_THAT(filesChanged(folder, inputs),
                ElementsAre(ChangedFile{"samples.csv", FileChange::changed, {}},
                            ChangedFile{"subjects.csv", FileChange::missing, {}}));
    ASSERT_EQ(::mkfifo((folder / "subjects.csv").c_str(), 0600), 0);
    fs::remove(folder / "samples.csv");
    fs::create_symlink("/etc/hostname", folder / "samples.csv");
    const auto changed = filesChanged(folder, inputs);
    ASSERT_THAT(changed, SizeIs(2));
    for (const ChangedFile& file : changed) {
        EXPECT_EQ(file.how, FileChange::unreadable) << file.file;
        EXPECT_TRUE(file.problem);
    }
    EXPECT_THAT(filesChanged(folder / "absent", inputs), SizeIs(3));
}

}  // namespace
}  // namespace aftercurve
