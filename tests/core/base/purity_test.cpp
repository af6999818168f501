#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <regex>
#include <string>

// core/ is the science without a window: no Qt header, and nothing from the rooms above it.
TEST(Purity, CoreIncludesNoQtAndNoUpperRoom) {
    const std::regex forbidden{R"(^\s*#\s*include\s*[<"](Q[A-Z]|Qt|qcustomplot|ui/|app/))"};
    std::size_t files = 0;
    for (const auto& entry :
         std::filesystem::recursive_directory_iterator(std::string{TEST_SOURCE_ROOT} + "/core")) {
        const std::string extension = entry.path().extension().string();
        if (extension != ".h" && extension != ".cpp") {
            continue;
        }
        ++files;
        std::ifstream in(entry.path());
        std::string line;
        while (std::getline(in, line)) {
            EXPECT_FALSE(std::regex_search(line, forbidden)) << entry.path() << ": " << line;
        }
    }
    EXPECT_GT(files, 50U);
}
