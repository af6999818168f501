// Bundles made, damaged and checked.
#include "core/bundle/bundle_check.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/bundle/bundle_folder.h"
#include "core/bundle/bundle_privacy.h"
#include "core/files/sha256.h"
#include "tests/core/bundle/bundle_fixture.h"
#include "tests/support/child_process.h"
#include "tests/support/study_files.h"
#include "tests/support/temp_folder.h"
#include "tests/support/workbook_builder.h"

namespace aftercurve {
namespace {

namespace fs = std::filesystem;
using test::bundleOf;
using test::fileOf;
using test::TempFolder;
using testing::HasSubstr;

constexpr const char* smallSamples =
    "subject,food,time_min,glucose\n"
    "1,drink,0,5\n1,drink,60,8\n1,drink,120,5\n1,barley,0,5\n1,barley,60,6\n1,barley,120,5\n"
    "2,drink,0,5\n2,drink,60,9\n2,drink,120,5\n2,barley,0,5\n2,barley,60,6\n2,barley,120,5\n";

/// A small study with a table of subjects and a ledger, bundled once for all tests.
const std::vector<BundleFile>& smallBundle() {
    static const std::vector<BundleFile> files = [] {
        const test::StudyFiles study(smallSamples,
                                     test::smallStudyJson(R"(, "subjects": "data/subjects.csv")"));
        study.folder.write("data/subjects.csv", "subject,sex\n1,f\n2,m\n");
        study.folder.write(
            "ledger.jsonl",
            R"({"n":1,"on":"2026-03-02T10:00:00Z","by":"AB","what":"import","where":{},"why":"new","previous":""})"
            "\n");
        study.folder.write("notes.txt", "not named in study.json");
        study.folder.write(".hidden", "x");
        return bundleOf(study.folder.path());
    }();
    return files;
}

std::vector<std::string> namesOf(const std::vector<BundleFile>& files) {
    std::vector<std::string> names;
    for (const BundleFile& file : files) {
        names.push_back(file.name);
    }
    return names;
}

BundleReport checkedZip(const std::vector<BundleFile>& files) {
    test::ArchiveParts parts;
    for (const BundleFile& file : files) {
        parts.emplace_back(file.name, file.bytes);
    }
    const TempFolder folder;
    return checkBundle(folder.write("b.zip", test::zipped(parts)));
}

/// The bundle with a file changed and a manifest that fits, as if it had been bundled so.
std::vector<BundleFile> remade(std::vector<BundleFile> files) {
    auto manifest = readBundleManifest(fileOf(files, "manifest.json").bytes).value();
    std::vector<BundleFile> others;
    for (const BundleFile& file : files) {
        if (file.name != "manifest.json") {
            others.push_back(file);
        }
    }
    manifest.files = bundleEntriesOf(others);
    fileOf(files, "manifest.json").bytes = bundleManifestText(manifest);
    return files;
}

TEST(Bundle, HoldsTheStudyAndWhatCameOfItAndNothingElse) {
    const auto names = namesOf(smallBundle());
    EXPECT_TRUE(std::is_sorted(names.begin(), names.end()));
    for (const char* name :
         {"LICENCE.txt", "README.txt", "findings/results.json", "manifest.json", "recompute/recompute.R",
          "recompute/samples.csv", "study/data/subjects.csv", "study/ledger.jsonl", "study/samples.csv",
          "study/study.json", "tables/comparisons.csv"}) {
        EXPECT_THAT(names, testing::Contains(name));
    }
    for (const std::string& name : names) {
        EXPECT_EQ(name.find("notes"), std::string::npos);
        EXPECT_EQ(name.find(".hidden"), std::string::npos);
    }
    auto files = smallBundle();
    EXPECT_EQ(fileOf(files, "study/samples.csv").bytes, smallSamples);
    EXPECT_THAT(fileOf(files, "LICENCE.txt").bytes, HasSubstr("No licence was chosen"));
    EXPECT_THAT(fileOf(files, "README.txt").bytes, HasSubstr("not for diagnosis"));
    const auto manifest = readBundleManifest(fileOf(files, "manifest.json").bytes);
    ASSERT_TRUE(manifest.ok());
    EXPECT_EQ(manifest.value().files.size(), files.size() - 1);
    EXPECT_EQ(manifest.value().date, "2026-11-25");
}

TEST(Bundle, SamplesComeBackTheSameAsFolderAndAsZip) {
    for (const char* name : {"barley-index", "pulse-wafer-crossover", "kelp-barley-crisps"}) {
        const auto files = bundleOf(test::sampleStudy(name));
        const TempFolder folder;
        for (const char* target : {"bundle", "bundle.zip"}) {
            const fs::path path = folder.path() / target;
            ASSERT_TRUE(writeBundle(path, files).ok());
            const BundleReport report = checkBundle(path);
            EXPECT_EQ(report.verdict, BundleVerdict::same) << textOf(report);
            ASSERT_TRUE(report.results);
            EXPECT_GT(report.results->numbers, 1000U);
            EXPECT_THAT(textOf(report), HasSubstr("all identical"));
            EXPECT_THAT(jsonOf(report), HasSubstr("\"verdict\": \"same\""));
        }
    }
}

TEST(Bundle, AChangedByteIsFoundInEveryFile) {
    for (std::size_t i = 0; i < smallBundle().size(); ++i) {
        auto files = smallBundle();
        std::string& bytes = files[i].bytes;
        ASSERT_FALSE(bytes.empty()) << files[i].name;
        bytes[bytes.size() / 2] = static_cast<char>(bytes[bytes.size() / 2] ^ 1);
        const BundleReport report = checkedZip(files);
        EXPECT_EQ(report.verdict, BundleVerdict::unreadable) << files[i].name;
        if (files[i].name != "manifest.json") {
            ASSERT_EQ(report.files.size(), 1U) << textOf(report);
            EXPECT_EQ(report.files[0].file, files[i].name);
            EXPECT_EQ(report.files[0].fault, BundleFault::otherHash);
        }
    }
}

TEST(Bundle, EveryChangedByteOfTheManifestIsFound) {
    BundleManifest manifest;
    manifest.date = "2026-11-25";
    manifest.title = "t";
    manifest.planSha256 = sha256Hex("");
    manifest.files = {{"a", 1, sha256Hex("a")}};
    const std::string text = bundleManifestText(manifest);
    ASSERT_TRUE(readBundleManifest(text).ok());
    EXPECT_EQ(readBundleManifest(text).value(), manifest);
    for (std::size_t at = 0; at < text.size(); ++at) {
        std::string changed = text;
        changed[at] = static_cast<char>(changed[at] ^ 1);
        EXPECT_FALSE(readBundleManifest(changed).ok()) << at;
    }
    for (std::size_t size = 0; size < text.size(); ++size) {
        EXPECT_FALSE(readBundleManifest(text.substr(0, size)).ok());
    }
    manifest.files = {{"b", 1, sha256Hex("a")}, {"a", 1, sha256Hex("a")}};
    EXPECT_FALSE(readBundleManifest(bundleManifestText(manifest)).ok());
    manifest.files = {{"../a", 1, sha256Hex("a")}};
    EXPECT_FALSE(readBundleManifest(bundleManifestText(manifest)).ok());
}

TEST(Bundle, MissingUnknownAndLongerFilesAreNamed) {
    auto files = smallBundle();
    std::erase_if(files, [](const BundleFile& file) { return file.name == "report.html"; });
    files.push_back({"study/more.csv", "x"});
    fileOf(files, "README.txt").bytes += "x";
    const BundleReport report = checkedZip(files);
    EXPECT_EQ(report.verdict, BundleVerdict::unreadable);
    ASSERT_EQ(report.files.size(), 3U);
    EXPECT_EQ(report.files[0].file, "README.txt");
    EXPECT_EQ(report.files[0].fault, BundleFault::otherSize);
    EXPECT_EQ(report.files[1].file, "report.html");
    EXPECT_EQ(report.files[1].fault, BundleFault::missing);
    EXPECT_EQ(report.files[2].file, "study/more.csv");
    EXPECT_EQ(report.files[2].fault, BundleFault::unknown);
    EXPECT_FALSE(report.results);
}

TEST(Bundle, OtherNumbersThanTheStudyGivesAreFound) {
    auto files = smallBundle();
    std::string& samples = fileOf(files, "study/samples.csv").bytes;
    samples.replace(samples.find("60,8"), 4, "60,7");
    const BundleReport report = checkedZip(remade(files));
    EXPECT_EQ(report.verdict, BundleVerdict::differs) << textOf(report);
    ASSERT_TRUE(report.results);
    EXPECT_GT(report.results->differingNumbers, 0U);
    EXPECT_FALSE(report.tables.empty());
    EXPECT_THAT(textOf(report), HasSubstr("Largest relative difference"));
}

TEST(Bundle, AnotherRevisionIsToldApartFromOtherNumbers) {
    auto files = smallBundle();
    std::string& results = fileOf(files, "findings/results.json").bytes;
    const std::size_t at = results.find("\"revision\": \"") + 13;
    results.insert(at, "another-");
    auto manifest = readBundleManifest(fileOf(files, "manifest.json").bytes).value();
    const BundleReport report = checkedZip(remade(files));
    EXPECT_EQ(report.verdict, BundleVerdict::same) << textOf(report);
    EXPECT_FALSE(report.results->sameSoftware());
}

TEST(Bundle, AnotherPlanThanTheManifestSaysIsFound) {
    auto files = smallBundle();
    std::string& study = fileOf(files, "study/study.json").bytes;
    study.replace(study.rfind('}'), 1, R"(, "plan": {"alpha": 0.1}})");
    const BundleReport report = checkedZip(remade(files));
    EXPECT_EQ(report.verdict, BundleVerdict::unreadable);
    EXPECT_THAT(textOf(report), HasSubstr("plan"));
}

TEST(Bundle, AStudyThatCannotBeReadIsUnreadable) {
    auto files = smallBundle();
    fileOf(files, "study/samples.csv").bytes = "nothing\n";
    EXPECT_EQ(checkedZip(remade(files)).verdict, BundleVerdict::unreadable);
    EXPECT_EQ(checkBundle("/nowhere/at-all").verdict, BundleVerdict::unreadable);
    const TempFolder empty;
    EXPECT_THAT(textOf(checkBundle(empty.path())), HasSubstr("no manifest.json"));
}

TEST(Bundle, LinksHiddenAndAddedFilesOfAFolderAreNamed) {
    const TempFolder folder;
    const fs::path bundle = folder.path() / "bundle";
    ASSERT_TRUE(writeBundle(bundle, smallBundle()).ok());
    EXPECT_EQ(checkBundle(bundle.string() + "/").verdict, BundleVerdict::same);
    folder.write("bundle/study/.aftercurve-save/record.json", "{}");
    BundleReport report = checkBundle(bundle);
    EXPECT_EQ(report.verdict, BundleVerdict::unreadable);
    ASSERT_EQ(report.files.size(), 1U);
    EXPECT_EQ(report.files[0].file, "study/.aftercurve-save/record.json");
    fs::remove_all(bundle / "study/.aftercurve-save");
    fs::create_symlink("/etc/passwd", bundle / "study/passwd");
    report = checkBundle(bundle);
    EXPECT_THAT(textOf(report), HasSubstr("symbolic link"));
    fs::remove(bundle / "study/passwd");
    // A folder that is a link out is not followed either.
    fs::rename(bundle / "tables", folder.path() / "tables");
    fs::create_directory_symlink(folder.path() / "tables", bundle / "tables");
    EXPECT_THAT(textOf(checkBundle(bundle)), HasSubstr("symbolic link"));
}

TEST(Bundle, TheSameStudyGivesTheSameBytes) {
    const test::StudyFiles study(smallSamples);
    const auto first = bundleOf(study.folder.path());
    const auto second = bundleOf(study.folder.path());
    EXPECT_EQ(zippedBundle(first).value(), zippedBundle(second).value());
}

TEST(Bundle, AWriteThatFailsLeavesNothing) {
    const TempFolder folder;
    folder.write("there/x", "1");
    const auto onto = writeBundle(folder.path() / "there", smallBundle());
    ASSERT_FALSE(onto.ok());
    EXPECT_THAT(onto.problem().what, HasSubstr("there already"));
    fs::create_directory(folder.path() / "empty");
    EXPECT_TRUE(writeBundle(folder.path() / "empty", smallBundle()).ok());
    EXPECT_TRUE(fs::exists(folder.path() / "empty/manifest.json"));
    // The disk is full, as far as this child can tell, after the first few files.
    for (const char* name : {"cut", "cut.zip"}) {
        const int left = test::inChild([&] {
            if (!test::limitFileSize(2000)) {
                return test::notPossibleHere;
            }
            return writeBundle(folder.path() / name, smallBundle()).ok() ? 1 : test::allWell;
        });
        EXPECT_EQ(left, test::allWell) << name;
        EXPECT_FALSE(fs::exists(folder.path() / name));
    }
    std::size_t entries = 0;
    for ([[maybe_unused]] const auto& entry : fs::directory_iterator(folder.path())) {
        ++entries;
    }
    EXPECT_EQ(entries, 2U);  // "there" and "empty"
}

TEST(Bundle, AStoppedCheckSaysSo) {
    const TempFolder folder;
    ASSERT_TRUE(writeBundle(folder.path() / "b.zip", smallBundle()).ok());
    const BundleReport report = checkBundle(folder.path() / "b.zip",
                                            [](double fraction, std::string_view) { return fraction < 0.5; });
    EXPECT_TRUE(report.stopped);
    EXPECT_EQ(report.verdict, BundleVerdict::unreadable);
    EXPECT_THAT(textOf(report), HasSubstr("stopped"));
}

TEST(BundleFacts, FaultsAreNamed) {
    EXPECT_EQ(faultOf(BundleFacts{"2026-11-25", "AB", "text"}), "");
    EXPECT_THAT(faultOf(BundleFacts{"today", "", ""}), HasSubstr("date"));
    EXPECT_THAT(faultOf(BundleFacts{"2026-02-30", "", ""}), HasSubstr("date"));
    EXPECT_THAT(faultOf(BundleFacts{"2026-11-25", "A B", ""}), HasSubstr("code"));
    EXPECT_THAT(faultOf(BundleFacts{"2026-11-25", "a@b", ""}), HasSubstr("code"));
    EXPECT_THAT(faultOf(BundleFacts{"2026-11-25", "", std::string{"a\0b", 3}}), HasSubstr("licence"));
}

TEST(BundlePrivacy, ColumnsAndKeysThatNamePeopleAreFound) {
    const std::vector<BundleFile> files{
        {"study/samples.csv", "subject,food,E-Mail\n"},
        {"study/visits.txt", "subject,\"date of birth\"\n"},
        {"study/study.json", R"({"title": "x", "people": [{"Surname": "y"}]})"},
        {"study/ledger.jsonl", "surname"},
        {"tables/pairs.csv", "subject,food\n"}};
    const auto problems = personalColumnsOf(files);
    ASSERT_EQ(problems.size(), 3U);
    EXPECT_EQ(problems[0].column, "E-Mail");
    EXPECT_EQ(problems[1].column, "date of birth");
    EXPECT_EQ(problems[2].column, "Surname");
    EXPECT_EQ(problems[0].severity, Severity::warning);
    EXPECT_TRUE(personalColumnsOf(smallBundle()).empty());
}

TEST(BundleStudy, RefusesANameThatHides) {
    const TempFolder folder;
    folder.write("study.json", R"({"format": "aftercurve-study", "version": 1, "title": "t",
 "foods": [{"id": "drink", "role": "reference"}], "analytes": [{"id": "glucose", "unit": "mmol/L"}],
 "samples": [".samples.csv"]})");
    folder.write(".samples.csv", smallSamples);
    const auto files = bundleStudyFiles(folder.path());
    ASSERT_FALSE(files.ok());
    EXPECT_THAT(files.problem().what, HasSubstr("hidden"));
}

}  // namespace
}  // namespace aftercurve
