// The folder as a whole: which files are read and which are refused, saving, progress.
#include "core/files/study_folder.h"

#include <fcntl.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/resource.h>
#include <sys/stat.h>

#include <nlohmann/json.hpp>
#include <string>

#include "core/files/sha256.h"
#include "tests/core/files/problem_matchers.h"
#include "tests/support/study_files.h"

namespace aftercurve {
namespace {

namespace fs = std::filesystem;

using test::smallStudyJson;
using test::StudyFiles;
using test::TempFolder;
using testing::AllOf;
using testing::Each;
using testing::Ge;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Le;
using testing::SizeIs;

constexpr const char* samplesCsv = "subject,food,time_min,glucose\n01,drink,0,5\n01,barley,0,4\n";

std::string jsonWithSamples(const std::string& name) {
    std::string json = smallStudyJson();
    return json.replace(json.find("samples.csv"), 11, name);
}

TEST(StudyFolder, RecordsTheFilesReadWithTheirHashes) {
    const StudyFiles files{samplesCsv, smallStudyJson(R"(, "subjects": "subjects.csv")")};
    files.folder.write("subjects.csv", "subject,sex\n01,f\n");
    const auto reading = files.read();
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    ASSERT_THAT(reading.study->inputs, SizeIs(3));
    EXPECT_EQ(reading.study->inputs[0],
              (InputFile{"study.json", sha256Hex(files.folder.read("study.json"))}));
    EXPECT_EQ(reading.study->inputs[1], (InputFile{"samples.csv", sha256Hex(samplesCsv)}));
    EXPECT_EQ(reading.study->inputs[2].file, "subjects.csv");
    EXPECT_EQ(reading.study->studyJson, files.folder.read("study.json"));
    EXPECT_EQ(reading.study->title, "Invented barley study");
    EXPECT_EQ(reading.study->foods[0].label, "Glucose drink");
    EXPECT_EQ(reading.study->foods[1].label, "barley");
}

TEST(StudyFolder, WhatIsNotAStudyFolderIsSaidSo) {
    const TempFolder folder;
    EXPECT_THAT(readStudyFolder(folder.path() / "absent"), Refused("", "there is no folder"));
    EXPECT_THAT(readStudyFolder(folder.path()), Refused("study.json", "'study.json' is not there"));
    const fs::path file = folder.write("notes.txt", "x");
    EXPECT_THAT(readStudyFolder(file), Refused("", "is not a folder"));
}

TEST(StudyFolder, AMissingSamplesFileIsNamed) {
    const StudyFiles files{samplesCsv};
    fs::remove(files.folder.path() / "samples.csv");
    EXPECT_THAT(files.read(), Refused("samples.csv", "'samples.csv' is not there"));
}

TEST(StudyFolder, PathsThatLeaveTheFolderAreRefused) {
    const TempFolder around;
    around.write("outside.csv", samplesCsv);
    around.write("study/samples.csv", samplesCsv);
    const fs::path study = around.path() / "study";
    const std::string outside = (around.path() / "outside.csv").string();
    for (const std::string& name :
         {std::string{"../outside.csv"}, std::string{"a/../../outside.csv"},
          std::string{"../study/samples.csv"}, outside, std::string{"/dev/zero"}, std::string{".."}}) {
        around.write("study/study.json", jsonWithSamples(name));
        EXPECT_THAT(
            readStudyFolder(study).problems,
            testing::Contains(testing::Field(&Problem::what, HasSubstr("leads out of the study folder"))))
            << name;
        EXPECT_FALSE(readStudyFolder(study).study) << name;
    }
    around.write("study/study.json", smallStudyJson(R"(, "subjects": "../outside.csv")"));
    EXPECT_FALSE(readStudyFolder(study).study);
}

TEST(StudyFolder, SymbolicLinksMayStayInsideButNotLeave) {
    const TempFolder around;
    around.write("outside.csv", samplesCsv);
    around.write("study/data/real.csv", samplesCsv);
    around.write("study/study.json", smallStudyJson());
    const fs::path study = around.path() / "study";
    const fs::path link = study / "samples.csv";

    fs::create_symlink("data/real.csv", link);
    EXPECT_TRUE(readStudyFolder(study).study);

    fs::remove(link);
    fs::create_symlink("../outside.csv", link);
    EXPECT_THAT(readStudyFolder(study), Refused("samples.csv", "leads out of the study folder"));

    fs::remove(link);
    fs::create_symlink("samples.csv", link);  // onto itself
    EXPECT_THAT(readStudyFolder(study), Refused("samples.csv", "cannot be read"));

    fs::remove(link);
    fs::create_symlink("vanished.csv", link);
    EXPECT_THAT(readStudyFolder(study), Refused("samples.csv", "'samples.csv' is not there"));

    fs::remove(link);
    fs::create_directory_symlink(around.path(), study / "up");
    around.write("study/study.json", jsonWithSamples("up/outside.csv"));
    EXPECT_THAT(readStudyFolder(study), Refused("up/outside.csv", "leads out of the study folder"));

    // A folder whose name begins like that of the study is not inside it.
    around.write("study-2/samples.csv", samplesCsv);
    fs::create_symlink("../study-2/samples.csv", link);
    around.write("study/study.json", smallStudyJson());
    EXPECT_THAT(readStudyFolder(study), Refused("samples.csv", "leads out of the study folder"));
}

TEST(StudyFolder, ALinkedStudyFolderIsRead) {
    const TempFolder around;
    around.write("study/samples.csv", samplesCsv);
    around.write("study/study.json", smallStudyJson());
    fs::create_directory_symlink("study", around.path() / "link");
    EXPECT_TRUE(readStudyFolder(around.path() / "link").study);
}

TEST(StudyFolder, OnlyRegularFilesAreRead) {
    const StudyFiles files{samplesCsv};
    const fs::path samples = files.folder.path() / "samples.csv";
    fs::remove(samples);
    fs::create_directory(samples);
    EXPECT_THAT(files.read(), Refused("samples.csv", "'samples.csv' is a folder, not a file"));
    fs::remove(samples);
    ASSERT_EQ(::mkfifo(samples.c_str(), 0600), 0);
    EXPECT_THAT(files.read(), Refused("samples.csv", "'samples.csv' is a pipe, not a file"));
}

TEST(StudyFolder, AFileThatMayNotBeReadIsSaidSo) {
    if (::geteuid() == 0) {
        GTEST_SKIP() << "the superuser may read every file";
    }
    const StudyFiles files{samplesCsv};
    fs::permissions(files.folder.path() / "samples.csv", fs::perms::none);
    EXPECT_THAT(files.read(), Refused("samples.csv", "Permission denied"));
}

TEST(StudyFolder, FileNamesWithControlCharactersAreRefused) {
    const auto reading = StudyFiles{samplesCsv, jsonWithSamples("a\\u001b[31m.csv")}.read();
    EXPECT_THAT(reading, Refused("study.json", "samples[0]"));
    EXPECT_TRUE(isFitForPrint(reading.problems));
}

// The sanitizer touches an eighth of what is allocated, also where the program touches none of it.
#if defined(__SANITIZE_ADDRESS__)
constexpr bool underAddressSanitizer = true;
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
constexpr bool underAddressSanitizer = true;
#else
constexpr bool underAddressSanitizer = false;
#endif
#else
constexpr bool underAddressSanitizer = false;
#endif

long peakKilobytes() {
    rusage usage{};
    getrusage(RUSAGE_SELF, &usage);
    return usage.ru_maxrss;
}

TEST(StudyFolder, HugeFilesAreRefusedBySizeWithoutReadingThem) {
    const StudyFiles files{samplesCsv};
    const long before = peakKilobytes();
    fs::resize_file(files.folder.path() / "samples.csv", std::uintmax_t{2} << 30);
    EXPECT_THAT(files.read(), Refused("samples.csv", "2048 MiB, more than the 1024 MiB"));

    // Below the bound, a sparse line of NUL bytes is given up at the first chunk.
    fs::resize_file(files.folder.path() / "samples.csv", std::uintmax_t{900} << 20);
    EXPECT_THAT(files.read(), Refused("samples.csv:4", "NUL byte"));

    fs::resize_file(files.folder.path() / "study.json", std::uintmax_t{2} << 30);
    EXPECT_THAT(files.read(), Refused("study.json", "more than the 4 MiB"));
    if (!underAddressSanitizer) {
        EXPECT_LT(peakKilobytes() - before, 64 * 1024);
    }
}

TEST(StudyFolder, ALineOfManyMegabytesIsRefusedAtItsRow) {
    const StudyFiles files{samplesCsv + std::string(std::size_t{40} << 20, 'x')};
    EXPECT_THAT(files.read(), Refused("samples.csv:4", "longer than the 1048576 bytes"));
}

TEST(StudyFolder, ProgressRisesToOneAndMayStopTheReading) {
    std::string samples = "subject,food,time_min,glucose\n";
    while (samples.size() < (std::size_t{20} << 20)) {
        samples += "01,drink,0,5.123456789\n02,barley,15,7.123456789\n";
    }
    const StudyFiles files{samples};
    std::vector<double> shares;
    const auto reading = readStudyFolder(files.folder.path(), {}, [&](double share) {
        shares.push_back(share);
        return true;
    });
    EXPECT_TRUE(reading.study);
    EXPECT_THAT(shares, SizeIs(Ge(8u)));
    EXPECT_TRUE(std::is_sorted(shares.begin(), shares.end()));
    EXPECT_THAT(shares, Each(AllOf(Ge(0.0), Le(1.0))));
    EXPECT_EQ(shares.back(), 1.0);

    for (const double stopAt : {0.1, 0.7}) {
        double last = 0.0;
        const auto stopped = readStudyFolder(files.folder.path(), {}, [&](double share) {
            last = share;
            return share < stopAt;
        });
        EXPECT_THAT(stopped, Refused("samples.csv", "the reading was stopped"));
        EXPECT_LT(last, stopAt + 0.25);
    }
}

TEST(SavePlan, ReplacesPlanAndExclusionsAndKeepsTheRest) {
    const StudyFiles files{
        samplesCsv,
        smallStudyJson(R"(, "plan": {"mine": {"b": 1, "a": 2}, "alpha": 0.01, "comparator": "drink"},
 "registered": "protocol 4", "exclusions": [{"subject": "01", "food": "barley", "reason": "vomited", "page": 12}])")};
    auto reading = files.read();
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    Study study = *reading.study;
    EXPECT_EQ(study.plan.alpha, 0.01);
    study.plan.alpha = 0.025;
    study.plan.comparator = "";
    study.plan.secondaryMeasures = {"peak", "time_to_peak"};
    study.plan.seed = UINT64_MAX;
    study.exclusions.push_back({"01", "", 1, "glucose", "clotted µ sample", "AB", "2026-03-02"});
    ASSERT_TRUE(savePlan(files.folder.path(), study).ok());

    const auto again = files.read();
    ASSERT_TRUE(again.study) << linesOf(again.problems);
    EXPECT_EQ(again.study->plan, study.plan);
    EXPECT_EQ(again.study->exclusions, study.exclusions);
    EXPECT_EQ(again.study->foods, study.foods);

    const std::string text = files.folder.read("study.json");
    const auto json = nlohmann::ordered_json::parse(text);
    EXPECT_EQ(json["plan"]["mine"].dump(), R"({"b":1,"a":2})");
    EXPECT_FALSE(json["plan"].contains("comparator"));
    EXPECT_EQ(json["plan"]["window_end_min"].dump(), "120");
    EXPECT_EQ(json["plan"]["alpha"].dump(), "0.025");
    EXPECT_EQ(json["registered"], "protocol 4");
    EXPECT_EQ(json["exclusions"][0]["page"], 12);
    EXPECT_LT(text.find("\"foods\""), text.find("\"plan\""));
    EXPECT_LT(text.find("\"plan\""), text.find("\"registered\""));
    EXPECT_THAT(text, HasSubstr("\n  \"plan\": {\n    \"mine\""));

    // Saving what is there already changes nothing.
    ASSERT_TRUE(savePlan(files.folder.path(), *again.study).ok());
    EXPECT_EQ(files.folder.read("study.json"), text);
}

TEST(SavePlan, AddsAPlanWhereThereIsNoneAndNoEmptyListOfExclusions) {
    const StudyFiles files{samplesCsv};
    const auto reading = files.read();
    ASSERT_TRUE(reading.study);
    ASSERT_TRUE(savePlan(files.folder.path(), *reading.study).ok());
    EXPECT_EQ(files.read().study->plan, Plan{});
    EXPECT_THAT(files.folder.read("study.json"), testing::Not(HasSubstr("exclusions")));
}

TEST(SavePlan, KeepsTheFileThatIsThereWhereItIsNoStudyAnyMore) {
    const StudyFiles files{samplesCsv};
    const Study study = *files.read().study;
    for (const char* text : {"{", "[]", "", R"({"plan": 4})", "{\"a\": \"\xff\"}"}) {
        files.folder.write("study.json", text);
        const auto saved = savePlan(files.folder.path(), study);
        ASSERT_FALSE(saved.ok()) << text;
        EXPECT_EQ(saved.problem().file, "study.json");
        EXPECT_EQ(files.folder.read("study.json"), text);
    }
    fs::remove(files.folder.path() / "study.json");
    EXPECT_FALSE(savePlan(files.folder.path(), study).ok());
    EXPECT_FALSE(savePlan(files.folder.path() / "absent", study).ok());
}

}  // namespace
}  // namespace aftercurve
