// The zip form of a bundle: what is written comes back, and what a hostile archive can hold is refused.
// Archives are made by libzip here too, then changed by hand where libzip would not write such a thing; the
// places of the fields are those of APPNOTE.TXT 6.3, 4.3.12 (from memory).
#include "core/bundle/bundle_archive.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/support/workbook_builder.h"

namespace aftercurve {
namespace {

using test::zipped;
using testing::HasSubstr;

std::string refusalOf(const std::string& bytes, const BundleLimits& limits = {}) {
    const auto archive = BundleArchive::open(bytes, limits);
    return archive ? "opened" : archive.problem().what;
}

std::string named(const std::string& name) {
    return refusalOf(zipped({{name, "text"}}));
}

/// The archive with `from` replaced by `to`, of the same length, wherever it stands.
std::string replaced(std::string bytes, const std::string& from, const std::string& to) {
    for (std::size_t at = bytes.find(from); at != std::string::npos; at = bytes.find(from, at + to.size())) {
        bytes.replace(at, from.size(), to);
    }
    return bytes;
}

/// The mode of every entry in the directory, as Unix writes it.
std::string withMode(std::string bytes, unsigned mode) {
    for (std::size_t at = bytes.find("PK\x01\x02"); at != std::string::npos;
         at = bytes.find("PK\x01\x02", at + 4)) {
        bytes[at + 5] = 3;
        bytes[at + 40] = static_cast<char>(mode & 0xffU);
        bytes[at + 41] = static_cast<char>(mode >> 8U);
    }
    return bytes;
}

TEST(BundleArchive, GivesBackWhatWasWritten) {
    const std::vector<BundleFile> files{{"README.txt", "a\n"},
                                        {"empty", ""},
                                        {"study/samples.csv", std::string(300'000, 'x') + "\0\n"},
                                        {"study/sööt.csv", "subject\n"}};
    const auto bytes = zippedBundle(files);
    ASSERT_TRUE(bytes.ok()) << bytes.problem().what;
    const auto archive = BundleArchive::open(bytes.value(), {});
    ASSERT_TRUE(archive.ok()) << archive.problem().what;
    ASSERT_EQ(archive.value().items().size(), files.size());
    for (std::size_t i = 0; i < files.size(); ++i) {
        EXPECT_EQ(archive.value().items()[i].name, files[i].name);
        const auto read = archive.value().read(i);
        ASSERT_TRUE(read.ok()) << read.problem().what;
        EXPECT_EQ(read.value(), files[i].bytes);
    }
    EXPECT_EQ(zippedBundle(files).value(), bytes.value());
}

TEST(BundleArchive, PassesOverEntriesForFolders) {
    const std::string bytes = zipped({{"study/", ""}, {"study/a.csv", "x"}});
    const auto archive = BundleArchive::open(bytes, {});
    ASSERT_TRUE(archive.ok()) << archive.problem().what;
    ASSERT_EQ(archive.value().items().size(), 1U);
    EXPECT_EQ(archive.value().read(0).value(), "x");
    EXPECT_THAT(refusalOf(zipped({{"study/", "not empty"}})), HasSubstr("no size"));
}

TEST(BundleArchive, RefusesNamesThatLeadOutOrHide) {
    EXPECT_EQ(named("study/a.csv"), "opened");
    EXPECT_THAT(named("../a.csv"), HasSubstr("leads out"));
    EXPECT_THAT(named("study/../../a.csv"), HasSubstr("leads out"));
    EXPECT_THAT(named("/etc/a.csv"), HasSubstr("not relative"));
    EXPECT_THAT(named("C:/a.csv"), HasSubstr("colon"));
    EXPECT_THAT(named("study\\a.csv"), HasSubstr("backslash"));
    EXPECT_THAT(named("study/.aftercurve-save/record.json"), HasSubstr("hidden"));
    EXPECT_THAT(named("study//a.csv"), HasSubstr("empty"));
    EXPECT_THAT(named("a\nb.csv"), HasSubstr("control characters"));
    EXPECT_THAT(named(std::string(501, 'a')), HasSubstr("longer"));
    std::string deep;
    for (int i = 0; i < 17; ++i) {
        deep += "a/";
    }
    EXPECT_THAT(named(deep + "b"), HasSubstr("parts"));
}

TEST(BundleArchive, RefusesANulInAName) {
    const std::string bytes = zipped({{"study/a.csvQ.exe", "text"}});
    EXPECT_EQ(refusalOf(bytes), "opened");
    const std::string hostile = replaced(bytes, "a.csvQ", std::string{"a.csv\0", 6});
    EXPECT_NE(refusalOf(hostile), "opened");
}

TEST(BundleArchive, RefusesNamesThatStandTwice) {
    const std::string bytes = zipped({{"study/a.csv", "one"}, {"study/b.csv", "two"}});
    EXPECT_THAT(refusalOf(replaced(bytes, "b.csv", "a.csv")), HasSubstr("stands twice"));
}

TEST(BundleArchive, RefusesLinksAndDevices) {
    const std::string bytes = zipped({{"study/a.csv", "/etc/passwd"}});
    EXPECT_EQ(refusalOf(withMode(bytes, 0100644)), "opened");
    EXPECT_THAT(refusalOf(withMode(bytes, 0120777)), HasSubstr("symbolic link"));
    EXPECT_THAT(refusalOf(withMode(bytes, 0020666)), HasSubstr("no regular file"));
    EXPECT_THAT(refusalOf(withMode(bytes, 0040755)), HasSubstr("no regular file"));
}

TEST(BundleArchive, RefusesWhatUnpacksToTooMuch) {
    // Deflate takes these zeros to about a thousandth.
    const std::string bytes = zipped({{"study/a.csv", std::string(std::size_t{8} << 20, '0')}});
    EXPECT_THAT(refusalOf(bytes), HasSubstr("500 times"));
    BundleLimits limits;
    limits.ratioFrom = std::uintmax_t{1} << 40;
    EXPECT_EQ(refusalOf(bytes, limits), "opened");
    limits.fileBytes = 1000;
    EXPECT_THAT(refusalOf(bytes, limits), HasSubstr("unpacks to"));
    limits = {};
    limits.totalBytes = 10;
    EXPECT_THAT(refusalOf(zipped({{"a", "123456"}, {"b", "123456"}}), limits), HasSubstr("that are read"));
}

TEST(BundleArchive, RefusesAnEntryThatUnpacksToMoreThanItSays) {
    const std::string bytes = test::withDeclaredSizes(zipped({{"a", std::string(5000, 'a')}}), 10);
    const auto archive = BundleArchive::open(bytes, {});
    EXPECT_TRUE(!archive || !archive.value().read(0).ok());
}

TEST(BundleArchive, RefusesAHundredThousandEntries) {
    test::ArchiveParts parts;
    for (int i = 0; i < 30'000; ++i) {
        parts.emplace_back("f" + std::to_string(i), "");
    }
    const std::string bytes = zipped(parts, false);
    EXPECT_THAT(refusalOf(bytes), HasSubstr("10000 files"));
    BundleLimits limits;
    limits.files = 30'000;
    EXPECT_EQ(refusalOf(bytes, limits), "opened");
    for (int i = 30'000; i < 100'000; ++i) {
        parts.emplace_back("f" + std::to_string(i), "");
    }
    EXPECT_THAT(refusalOf(zipped(parts, false)), HasSubstr("10000 files"));
}

TEST(BundleArchive, RefusesADamagedOrCutFile) {
    const std::string bytes =
        zippedBundle(std::vector<BundleFile>{{"a", std::string(5000, 'a')}, {"b", "2"}}).value();
    EXPECT_NE(refusalOf(""), "opened");
    EXPECT_NE(refusalOf("PK\x05\x06"), "opened");
    for (std::size_t size = 0; size < bytes.size(); ++size) {
        EXPECT_NE(refusalOf(bytes.substr(0, size)), "opened") << size;
    }
    EXPECT_NE(refusalOf(bytes + "more"), "opened");
}

TEST(BundleArchive, NoChangedByteIsReadAsIfItWereWhole) {
    const std::vector<BundleFile> files{{"a", "the first file, of some length"}, {"b", "2"}};
    const std::string bytes = zippedBundle(files).value();
    for (std::size_t at = 0; at < bytes.size(); ++at) {
        std::string changed = bytes;
        changed[at] = static_cast<char>(changed[at] ^ 0x21);
        const auto archive = BundleArchive::open(changed, {});
        if (!archive) {
            continue;
        }
        // Times and system fields may change; names and contents are then as they were, or reading fails, or
        // the name is another one, which the manifest does not have.
        for (std::size_t i = 0; i < archive.value().items().size(); ++i) {
            const auto read = archive.value().read(i);
            const bool sameName = archive.value().items()[i].name == files[i].name;
            EXPECT_TRUE(!read || !sameName || read.value() == files[i].bytes) << at;
        }
    }
}

}  // namespace
}  // namespace aftercurve
