#include "core/planning/schedule.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <map>
#include <set>

#include "core/files/sha256.h"
#include "core/planning/check_design.h"
#include "core/planning/schedule_files.h"
#include "tests/support/reference_csv.h"
#include "tests/support/temp_folder.h"

namespace aftercurve {

namespace {

using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::Not;

ScheduleOptions optionsOf(std::size_t foods, std::vector<Stratum> strata, SequenceDesign design,
                          std::size_t block, std::uint64_t seed) {
    const std::vector<std::string> names{"barley", "pea", "kelp", "oats", "lentil", "rye", "dulse"};
    ScheduleOptions options;
    options.foods.assign(names.begin(), names.begin() + static_cast<std::ptrdiff_t>(foods));
    options.strata = std::move(strata);
    options.design = design;
    options.block = block;
    options.seed = seed;
    return options;
}

std::vector<std::string> lettersOf(const std::vector<FoodSequence>& sequences) {
    std::vector<std::string> letters;
    for (const FoodSequence& sequence : sequences) {
        letters.push_back(sequenceLetters(sequence));
    }
    return letters;
}

/// Counts of ordered neighbours over all sequences.
std::map<std::pair<std::size_t, std::size_t>, int> neighbours(const std::vector<FoodSequence>& sequences) {
    std::map<std::pair<std::size_t, std::size_t>, int> counts;
    for (const FoodSequence& sequence : sequences) {
        for (std::size_t i = 1; i < sequence.size(); ++i) {
            ++counts[{sequence[i - 1], sequence[i]}];
        }
    }
    return counts;
}

std::string bytesOf(const Schedule& schedule, const std::string& name, bool sealed) {
    for (const ScheduleFile& file : scheduleFiles(schedule, sealed)) {
        if (file.name == name) {
            return file.bytes;
        }
    }
    ADD_FAILURE() << "no file " << name;
    return {};
}

}  // namespace

// Williams 1949, construction: the squares of four and of three foods.
TEST(Designs, WilliamsSquaresOfFourAndThree) {
    EXPECT_THAT(lettersOf(williamsSquares(4)), ElementsAre("ABDC", "BCAD", "CDBA", "DACB"));
    EXPECT_THAT(lettersOf(williamsSquares(3)), ElementsAre("ABC", "BCA", "CAB", "CBA", "ACB", "BAC"));
}

// The definition of the balance: each food once in each period of a square, each ordered pair of neighbours
// once (even) or twice (odd).
TEST(Designs, WilliamsSquaresAreBalancedForEveryNumberOfFoods) {
    for (std::size_t k = 2; k <= mostScheduledFoods; ++k) {
        const auto squares = williamsSquares(k);
        ASSERT_EQ(squares.size(), k % 2 == 0 ? k : 2 * k);
        for (std::size_t period = 0; period < k; ++period) {
            std::vector<std::size_t> times(k, 0);
            for (const FoodSequence& row : squares) {
                ++times[row[period]];
            }
            EXPECT_EQ(times, std::vector<std::size_t>(k, squares.size() / k)) << k;
        }
        for (const FoodSequence& row : squares) {
            EXPECT_EQ(std::set<std::size_t>(row.begin(), row.end()).size(), k);
        }
        const auto pairs = neighbours(squares);
        EXPECT_EQ(pairs.size(), k * (k - 1));
        for (const auto& [pair, times] : pairs) {
            EXPECT_EQ(times, k % 2 == 0 ? 1 : 2) << k;
        }
    }
}

TEST(Designs, CyclicSquareAndAllOrders) {
    EXPECT_THAT(lettersOf(cyclicSquare(3)), ElementsAre("ABC", "BCA", "CAB"));
    EXPECT_EQ(neighbours(cyclicSquare(4)).size(), 4U);
    EXPECT_THAT(lettersOf(allPermutations(3)), ElementsAre("ABC", "ACB", "BAC", "BCA", "CAB", "CBA"));
    EXPECT_EQ(allPermutations(4).size(), 24U);
    EXPECT_TRUE(sequencesOf(SequenceDesign::permutations, 5).empty());
    EXPECT_TRUE(sequencesOf(SequenceDesign::williams, 1).empty());
    EXPECT_TRUE(sequencesOf(SequenceDesign::cyclic, 27).empty());
}

// tests/reference/planning_schedule.R, the same random numbers drawn anew in base R.
TEST(Schedule, IsThatOfTheIndependentDraw) {
    std::map<std::string, std::vector<test::ReferenceRow>> cases;
    for (const test::ReferenceRow& row : test::readReference("planning_schedule.csv")) {
        cases[row.text("case")].push_back(row);
    }
    EXPECT_EQ(cases.size(), 6U);
    for (const auto& [name, rows] : cases) {
        SCOPED_TRACE(name);
        std::vector<Stratum> strata;
        for (const test::ReferenceRow& row : rows) {
            if (strata.empty() || strata.back().name != "s" + row.text("stratum")) {
                strata.push_back({"s" + row.text("stratum"), 0});
            }
            ++strata.back().subjects;
        }
        const auto schedule = makeSchedule(
            optionsOf(std::stoull(rows[0].text("foods")), strata, *sequenceDesignFrom(rows[0].text("design")),
                      std::stoull(rows[0].text("block")), std::stoull(rows[0].text("seed"))));
        ASSERT_TRUE(schedule.ok()) << schedule.problem().what;
        ASSERT_EQ(schedule.value().subjects.size(), rows.size());
        for (std::size_t i = 0; i < rows.size(); ++i) {
            const ScheduledSubject& subject = schedule.value().subjects[i];
            EXPECT_EQ(sequenceLetters(schedule.value().sequences[subject.sequence]),
                      rows[i].text("sequence"));
            EXPECT_EQ(std::to_string(subject.block), rows[i].text("number"));
            EXPECT_EQ(std::to_string(subject.stratum + 1), rows[i].text("stratum"));
        }
    }
}

TEST(Schedule, FullBlocksHoldEverySequenceEquallyOftenInEachStratum) {
    const auto made =
        makeSchedule(optionsOf(4, {{"men", 16}, {"women", 24}}, SequenceDesign::williams, 8, 5));
    ASSERT_TRUE(made.ok());
    const Schedule& schedule = made.value();
    EXPECT_TRUE(schedule.notes.empty());
    std::map<std::tuple<std::size_t, std::size_t, std::size_t>, int> times;
    for (const ScheduledSubject& subject : schedule.subjects) {
        ++times[{subject.stratum, subject.block, subject.sequence}];
    }
    EXPECT_EQ(times.size(), 5U * 4U);
    for (const auto& [place, number] : times) {
        EXPECT_EQ(number, 2);
    }
    const DesignCheck check = checkDesign(givenFrom(schedule));
    EXPECT_TRUE(check.findings.empty());
    ASSERT_EQ(check.strata.size(), 2U);
    for (const DesignCounts* counts : {&check.all, &check.strata[0], &check.strata[1]}) {
        EXPECT_TRUE(counts->periodsBalanced && counts->carryOverBalanced && counts->sequencesBalanced);
    }
}

TEST(Schedule, SameSeedSameBytesAnotherSeedOthers) {
    const auto csv = [](std::uint64_t seed) {
        const auto made = makeSchedule(optionsOf(3, {{"", 24}}, SequenceDesign::williams, 0, seed));
        return bytesOf(made.value(), "schedule.csv", false);
    };
    EXPECT_EQ(csv(7), csv(7));
    EXPECT_NE(csv(7), csv(8));
    EXPECT_TRUE(csv(7).starts_with("subject,block,sequence,period_1,period_2,period_3\n01,1,")) << csv(7);
    // A stratum that grows leaves the subjects before its end, and the other stratum, as they were.
    const auto sequences = [](std::size_t first) {
        const auto made =
            makeSchedule(optionsOf(3, {{"a", first}, {"b", 12}}, SequenceDesign::williams, 6, 3));
        std::vector<std::size_t> all;
        for (const ScheduledSubject& subject : made.value().subjects) {
            all.push_back(subject.sequence);
        }
        return all;
    };
    const auto small = sequences(12);
    const auto large = sequences(18);
    EXPECT_TRUE(std::equal(small.begin(), small.begin() + 12, large.begin()));
    EXPECT_TRUE(std::equal(small.begin() + 12, small.end(), large.begin() + 18));
}

TEST(Schedule, RecordHoldsTheHashOfTheSchedule) {
    const auto made = makeSchedule(optionsOf(3, {{"", 24}}, SequenceDesign::williams, 0, 7));
    EXPECT_THAT(bytesOf(made.value(), "schedule.json", false),
                HasSubstr(sha256Hex(bytesOf(made.value(), "schedule.csv", false))));
}

TEST(Schedule, BlockThatIsNotFilledIsNoted) {
    const auto made = makeSchedule(optionsOf(3, {{"men", 7}, {"women", 6}}, SequenceDesign::williams, 6, 1));
    ASSERT_EQ(made.value().notes.size(), 1U);
    EXPECT_THAT(made.value().notes[0].what, HasSubstr("stratum 'men' holds 1 of 6"));
    EXPECT_EQ(made.value().subjects.back().subject, "13");
    EXPECT_THAT(makeSchedule(optionsOf(3, {{"", 6}}, SequenceDesign::cyclic, 0, 1)).value().notes[0].what,
                HasSubstr("carry-over is not balanced"));
}

TEST(Schedule, SealedListTellsNeitherFoodNorOrder) {
    const auto made = makeSchedule(optionsOf(3, {{"", 12}}, SequenceDesign::williams, 0, 7));
    const auto codes = sealedCodes(made.value().options);
    EXPECT_EQ(std::set<std::string>(codes.begin(), codes.end()).size(), 3U);
    for (const std::string& code : codes) {
        EXPECT_EQ(code.size(), 3U);
    }
    for (const char* name : {"sealed_list.csv", "sealed_list.html"}) {
        const std::string bytes = bytesOf(made.value(), name, true);
        EXPECT_THAT(bytes, HasSubstr(codes[0]));
        for (const char* secret : {"barley", "pea", "kelp", "ABC", "equence", "block", "seed 7"}) {
            EXPECT_THAT(bytes, Not(HasSubstr(secret))) << name;
        }
    }
    EXPECT_THAT(bytesOf(made.value(), "key/key.csv", true), HasSubstr(codes[0] + ",barley\n"));
    // Opened with the key it is the schedule.
    const GivenSchedule sealed = *readSchedule(bytesOf(made.value(), "sealed_list.csv", true), "s").schedule;
    const GivenSchedule open = *readSchedule(bytesOf(made.value(), "key/schedule.csv", true), "s").schedule;
    for (std::size_t i = 0; i < open.subjects.size(); ++i) {
        for (std::size_t period = 0; period < 3; ++period) {
            const std::string code = sealed.foods[*sealed.subjects[i].foods[period]];
            const std::string food = open.foods[*open.subjects[i].foods[period]];
            EXPECT_THAT(bytesOf(made.value(), "key/key.csv", true), HasSubstr(code + "," + food + "\n"));
        }
    }
}

TEST(Schedule, FaultsAreNamed) {
    const auto fault = [](const ScheduleOptions& options) {
        const auto made = makeSchedule(options);
        return made.ok() ? std::string{"made"} : made.problem().what;
    };
    const auto williams = SequenceDesign::williams;
    EXPECT_THAT(fault(optionsOf(1, {{"", 6}}, williams, 0, 1)), HasSubstr("1 foods"));
    EXPECT_THAT(fault(optionsOf(3, {}, williams, 0, 1)), HasSubstr("no subject"));
    EXPECT_THAT(fault(optionsOf(3, {{"", 0}}, williams, 0, 1)), HasSubstr("no subject"));
    EXPECT_THAT(fault(optionsOf(3, {{"", 6}}, williams, 4, 1)), HasSubstr("block of 4"));
    EXPECT_THAT(fault(optionsOf(5, {{"", 6}}, SequenceDesign::permutations, 0, 1)), HasSubstr("too many"));
    EXPECT_THAT(fault(optionsOf(3, {{"a", 6}, {"a", 6}}, williams, 0, 1)), HasSubstr("stands twice"));
    EXPECT_THAT(fault(optionsOf(3, {{"", 6}, {"a", 6}}, williams, 0, 1)), HasSubstr("no name"));
    const std::size_t huge = std::numeric_limits<std::size_t>::max();
    EXPECT_THAT(fault(optionsOf(3, {{"a", huge}, {"b", huge}}, williams, 0, 1)),
                HasSubstr("more than 100000"));
    EXPECT_THAT(fault(optionsOf(3, {{"", 6}}, williams, huge - huge % 6, 1)), HasSubstr("block"));
    ScheduleOptions twice = optionsOf(3, {{"", 6}}, williams, 0, 1);
    twice.foods[1] = "barley";
    EXPECT_THAT(fault(twice), HasSubstr("'barley' stands twice"));
    for (const char* name : {"", "a\nb", "a\tb", "\xFF"}) {
        twice.foods[1] = name;
        EXPECT_NE(fault(twice), "made");
    }
}

TEST(Schedule, HostileNamesAreWrittenSafely) {
    ScheduleOptions options = optionsOf(2, {{"", 4}}, SequenceDesign::williams, 0, 1);
    options.foods = {"=cmd|'/C calc'!A0", "<script>alert(1)</script>, \"x\""};
    const Schedule schedule = makeSchedule(options).value();
    EXPECT_THAT(bytesOf(schedule, "schedule.csv", false), HasSubstr(",'=cmd"));
    EXPECT_THAT(bytesOf(schedule, "schedule.csv", false), Not(HasSubstr(",=cmd")));
    EXPECT_THAT(bytesOf(schedule, "schedule.html", false), Not(HasSubstr("<script")));
    const GivenReading back = readSchedule(bytesOf(schedule, "schedule.csv", false), "schedule.csv");
    ASSERT_TRUE(back.schedule);
    EXPECT_THAT(back.schedule->foods, testing::UnorderedElementsAreArray(options.foods));
}

TEST(Schedule, WritesItsFilesAndSaysWhereItCannot) {
    const test::TempFolder folder;
    const Schedule schedule = makeSchedule(optionsOf(2, {{"", 4}}, SequenceDesign::williams, 0, 1)).value();
    const auto written = writeSchedule(schedule, folder.path() / "new", true);
    ASSERT_TRUE(written.ok());
    EXPECT_THAT(written.value(), ElementsAre("sealed_list.csv", "sealed_list.html", "key/key.csv",
                                             "key/schedule.csv", "key/schedule.html", "key/schedule.json"));
    for (const std::string& name : written.value()) {
        EXPECT_TRUE(std::filesystem::is_regular_file(folder.path() / "new" / name));
    }
    const auto blocked = writeSchedule(schedule, folder.path() / "new" / "sealed_list.csv", false);
    ASSERT_FALSE(blocked.ok());
    EXPECT_THAT(blocked.problem().what, HasSubstr("sealed_list.csv"));
    const GivenReading read = readScheduleFile(folder.path() / "new" / "key" / "schedule.csv");
    ASSERT_TRUE(read.schedule);
    EXPECT_EQ(read.schedule->subjects.size(), 4U);
    EXPECT_FALSE(readScheduleFile(folder.path() / "none.csv").schedule);
}

}  // namespace aftercurve
