// Replays the fuzzers' corpus, so that what they found once is checked in every build.
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>

#include "tests/fuzz/fuzz_checks.h"
#include "tests/fuzz/intake_checks.h"

namespace aftercurve {
namespace {

namespace fs = std::filesystem;

std::string bytesOf(const fs::path& file) {
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>{in}, {}};
}

/// Number of files replayed.
int replay(const char* name, bool (*check)(std::string_view)) {
    int files = 0;
    for (const auto& entry :
         fs::directory_iterator{fs::path{TEST_SOURCE_ROOT} / "tests/fuzz/corpus" / name}) {
        const std::string bytes = bytesOf(entry.path());
        EXPECT_TRUE(check(bytes)) << entry.path();
        // Cut off anywhere, a file is still only bad input.
        for (std::size_t length = 0; length < bytes.size() && length < 2000; ++length) {
            EXPECT_TRUE(check(std::string_view{bytes}.substr(0, length)))
                << entry.path() << " cut at " << length;
        }
        ++files;
    }
    return files;
}

TEST(FuzzCorpus, Samples) {
    EXPECT_GE(replay("samples", test::readsAsSamples), 12);
}
TEST(FuzzCorpus, StudyJson) {
    EXPECT_GE(replay("study_json", test::readsAsStudyJson), 12);
}
TEST(FuzzCorpus, IntakeText) {
    EXPECT_GE(replay("intake_text", test::visitsAsText), 12);
}
TEST(FuzzCorpus, Workbook) {
    EXPECT_GE(replay("workbook", test::visitsAsWorkbook), 12);
}

}  // namespace
}  // namespace aftercurve
