// `aftercurve-run bundle` and `aftercurve-run verify`.
#include "ui/headless/bundle_command.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sched.h>

#include <nlohmann/json.hpp>
#include <sstream>

#include "core/bundle/bundle_manifest.h"
#include "tests/support/temp_folder.h"

namespace aftercurve {
namespace {

namespace fs = std::filesystem;
using test::TempFolder;
using testing::HasSubstr;

const fs::path samples = TEST_SAMPLES;

struct Said {
    Exit exit;
    std::string out;
    std::string messages;
};

Said bundled(const BundleArguments& arguments) {
    std::ostringstream out;
    std::ostringstream messages;
    const Exit exit = runBundle(arguments, out, messages, false);
    return {exit, out.str(), messages.str()};
}

Said verified(const fs::path& bundle, const fs::path& json = {}) {
    std::ostringstream out;
    std::ostringstream messages;
    const Exit exit = runVerify(bundle, json, out, messages, false);
    return {exit, out.str(), messages.str()};
}

BundleArguments small(const TempFolder& folder, const std::string& header = "subject,food,time_min,glucose") {
    folder.write("small/study.json",
                 R"({ "format": "aftercurve-study", "version": 1, "title": "invented, small",
  "foods": [ { "id": "bread", "role": "control" }, { "id": "oats", "role": "test" } ],
  "analytes": [ { "id": "glucose", "unit": "mmol/L" } ], "samples": [ "samples.csv" ], "plan": { "index": false } })");
    const std::string end = header.ends_with("glucose") ? "\n" : ",x\n";
    std::string text = header + "\n";
    for (const char* row :
         {"1,bread,0,5", "1,bread,60,8", "1,bread,120,5", "1,oats,0,5", "1,oats,60,6", "1,oats,120,5",
          "2,bread,0,5", "2,bread,60,9", "2,bread,120,5", "2,oats,0,5", "2,oats,60,6", "2,oats,120,5"}) {
        text += row + end;
    }
    folder.write("small/samples.csv", text);
    BundleArguments arguments;
    arguments.study = folder.path() / "small";
    arguments.out = folder.path() / "bundle.zip";
    arguments.date = "2026-11-25";
    return arguments;
}

TEST(BundleCommand, BothSamplesMakeABundleThatIsVerified) {
    for (const auto& [name, exit] :
         {std::pair{"barley-index", Exit::done}, std::pair{"pulse-wafer-crossover", Exit::partly}}) {
        const TempFolder folder;
        const Said made =
            bundled({samples / name, folder.path() / "bundle", "CC0 1.0", "2026-11-25", "AB", false});
        EXPECT_EQ(made.exit, exit) << made.messages;
        EXPECT_EQ(folder.read("bundle/LICENCE.txt"), "CC0 1.0\n");
        EXPECT_THAT(folder.read("bundle/report.html"), HasSubstr("<svg"));
        EXPECT_TRUE(fs::exists(folder.path() / "bundle/figures/curves_mean_glucose.pdf"));
        EXPECT_TRUE(fs::exists(folder.path() / "bundle/figures/curves_mean_glucose.svg"));
        EXPECT_FALSE(fs::exists(folder.path() / "bundle/figures/curves_mean_glucose.png"));
        const Said said = verified(folder.path() / "bundle", folder.path() / "check.json");
        EXPECT_EQ(said.exit, Exit::done) << said.out;
        EXPECT_THAT(said.out, HasSubstr("all identical"));
        const auto json = nlohmann::json::parse(folder.read("check.json"));
        EXPECT_EQ(json["verdict"], "same");
        EXPECT_EQ(json["results"]["differing_numbers"], 0);
    }
}

TEST(BundleCommand, OneProcessorOrSeveralGiveTheSameBytes) {
    const TempFolder folder;
    cpu_set_t all;
    ASSERT_EQ(sched_getaffinity(0, sizeof all, &all), 0);
    BundleArguments arguments = small(folder);
    EXPECT_EQ(bundled(arguments).exit, Exit::done);
    const std::string first = folder.read("bundle.zip");
    cpu_set_t one;
    CPU_ZERO(&one);
    for (int i = 0; i < CPU_SETSIZE; ++i) {
        if (CPU_ISSET(i, &all)) {
            CPU_SET(i, &one);
            break;
        }
    }
    ASSERT_EQ(sched_setaffinity(0, sizeof one, &one), 0);
    arguments.out = folder.path() / "again.zip";
    EXPECT_EQ(bundled(arguments).exit, Exit::done);
    ASSERT_EQ(sched_setaffinity(0, sizeof all, &all), 0);
    EXPECT_GT(first.size(), 10'000U);
    EXPECT_EQ(first, folder.read("again.zip"));
}

TEST(BundleCommand, ChangedNumbersAndChangedBytesHaveTheirStatus) {
    const TempFolder folder;
    BundleArguments arguments = small(folder);
    arguments.out = folder.path() / "bundle";
    ASSERT_EQ(bundled(arguments).exit, Exit::done);
    EXPECT_EQ(verified(folder.path() / "bundle").exit, Exit::done);
    std::string text = folder.read("bundle/study/samples.csv");
    text.replace(text.find("60,8"), 4, "60,7");
    folder.write("bundle/study/samples.csv", text);
    Said said = verified(folder.path() / "bundle");
    EXPECT_EQ(said.exit, Exit::unreadable);
    EXPECT_THAT(said.out, HasSubstr("study/samples.csv has another SHA-256"));
    // With a manifest that fits, only the numbers can tell.
    auto manifest = readBundleManifest(folder.read("bundle/manifest.json")).value();
    for (BundleEntry& entry : manifest.files) {
        if (entry.file == "study/samples.csv") {
            entry = bundleEntriesOf(std::vector<BundleFile>{{entry.file, text}})[0];
        }
    }
    folder.write("bundle/manifest.json", bundleManifestText(manifest));
    said = verified(folder.path() / "bundle");
    EXPECT_EQ(said.exit, Exit::partly);
    EXPECT_THAT(said.out, HasSubstr("Largest relative difference"));
    EXPECT_EQ(verified(folder.path() / "nothing").exit, Exit::unreadable);
}

TEST(BundleCommand, ColumnsThatNamePeopleAreToBeConfirmed) {
    const TempFolder folder;
    BundleArguments arguments = small(folder, "subject,food,time_min,glucose,surname");
    const Said refused = bundled(arguments);
    EXPECT_EQ(refused.exit, Exit::usage);
    EXPECT_THAT(refused.messages, HasSubstr("'surname' looks as if it identified people"));
    EXPECT_THAT(refused.messages, HasSubstr("--anyway"));
    EXPECT_FALSE(fs::exists(arguments.out));
    arguments.anyway = true;
    EXPECT_EQ(bundled(arguments).exit, Exit::done);
    EXPECT_TRUE(fs::exists(arguments.out));
}

TEST(BundleCommand, WrongUseWritesNothing) {
    const TempFolder folder;
    BundleArguments arguments = small(folder);
    arguments.date = "yesterday";
    EXPECT_EQ(bundled(arguments).exit, Exit::usage);
    arguments.date = "2026-11-25";
    arguments.creator = "two words";
    EXPECT_EQ(bundled(arguments).exit, Exit::usage);
    arguments.creator.clear();
    arguments.licence = "missing-licence.txt";
    EXPECT_EQ(bundled(arguments).exit, Exit::usage);
    arguments.licence.clear();
    arguments.study = folder.path() / "nothing";
    EXPECT_EQ(bundled(arguments).exit, Exit::unreadable);
    EXPECT_FALSE(fs::exists(arguments.out));
}

TEST(BundleCommand, ALicenceIsATextOrAFile) {
    const TempFolder folder;
    const auto file = folder.write("terms.txt", "Terms\nof use\n");
    EXPECT_EQ(licenceFrom(file.string()).value(), "Terms\nof use\n");
    EXPECT_EQ(licenceFrom("CC BY 4.0").value(), "CC BY 4.0");
    EXPECT_EQ(licenceFrom("").value(), "");
    EXPECT_FALSE(licenceFrom((folder.path() / "none").string()).ok());
    EXPECT_FALSE(licenceFrom(folder.write("empty.txt", "").string()).ok());
}

}  // namespace
}  // namespace aftercurve
