// Generator: known answers of its authors. Sign flips: by hand, and against R on 220 sets of pairs
// (tests/reference/permutation.R, R 4.2.2), where R draws the same random signs by a generator of its own.
#include "core/compare/permutation_test.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <limits>
#include <string>
#include <string_view>
#include <vector>

#include "core/compare/counter_random.h"
#include "core/compare/replicate_chunks.h"
#include "tests/core/compare/classic_data.h"
#include "tests/core/compare/robust_cases.h"
#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;

// Salmon et al. 2011, file kat_vectors of the authors' code, lines "philox4x32 10" (from memory; the first is
// also met by the independent generator of tests/reference/philox.R).
TEST(CounterRandom, KnownAnswers) {
    constexpr std::uint32_t ones = 0xFFFFFFFF;
    EXPECT_EQ(philox4x32({0, 0, 0, 0}, {0, 0}),
              (PhiloxBlock{0x6627e8d5, 0xe169c58d, 0xbc57ac4c, 0x9b00dbd8}));
    EXPECT_EQ(philox4x32({ones, ones, ones, ones}, {ones, ones}),
              (PhiloxBlock{0x408f276d, 0x41c83b0e, 0xa20bc7c6, 0x6d5451fd}));
    EXPECT_EQ(philox4x32({0x243f6a88, 0x85a308d3, 0x13198a2e, 0x03707344}, {0xa4093822, 0x299f31d0}),
              (PhiloxBlock{0xd16cfe09, 0x94fdcceb, 0x5001e420, 0x24126ea1}));
}

TEST(CounterRandom, WordsOfAReplicateComeFromItsOwnCounters) {
    constexpr std::uint64_t seed = 0x1234567890ABCDEF;
    constexpr std::uint64_t replicate = 0x500000007;
    ReplicateRandom random(seed, RandomPurpose::resamples, replicate);
    for (std::uint32_t block = 0; block < 3; ++block) {
        for (const std::uint32_t word : philox4x32({block, 2, 7, 5}, {0x90ABCDEF, 0x12345678})) {
            EXPECT_EQ(random.next(), word);
        }
    }
}

TEST(CounterRandom, BelowIsInRangeAndEven) {
    ReplicateRandom random(7, RandomPurpose::resamples, 0);
    std::vector<int> count(6, 0);
    for (int i = 0; i < 60'000; ++i) {
        ++count.at(random.below(6));
    }
    for (const int c : count) {
        EXPECT_NEAR(c, 10'000, 500);  // five standard deviations of a binomial are 457
    }
    EXPECT_EQ(random.below(1), 0U);
    for (int i = 0; i < 100; ++i) {
        EXPECT_LT(random.below(0xC0000001U), 0xC0000001U);
    }
}

TEST(ReplicateChunks, EachReplicateOnceWhateverTheThreads) {
    for (const std::uint64_t total : {0U, 1U, 7U, 1000U}) {
        for (const unsigned threads : {0U, 1U, 4U}) {
            for (const std::uint64_t chunk : {0U, 1U, 3U, 5000U}) {
                std::vector<std::atomic<int>> runs(total);
                EXPECT_TRUE(forReplicateChunks(total, chunk, threads, {}, "", [&](ReplicateChunk part) {
                    for (std::uint64_t i = part.begin; i < part.end; ++i) {
                        ++runs[i];
                    }
                }));
                EXPECT_TRUE(std::all_of(runs.begin(), runs.end(), [](const auto& n) { return n == 1; }));
            }
        }
    }
}

TEST(Permutation, ByHand) {
    // |±1 ±2 ±3| ≥ 6: two patterns of eight.
    const PermutationTest all = permutationTest(asDifferences(std::vector{1.0, 2.0, 3.0}));
    EXPECT_EQ(all.p, 0.25);
    EXPECT_EQ(all.patterns, 8U);
    EXPECT_EQ(all.asExtreme, 2U);
    EXPECT_EQ(all.method, "exact");
    EXPECT_FALSE(all.monteCarloError);
    // −1 + 2 + 3 = 4: also at least 4 are 6, 4, −6, −4.
    EXPECT_EQ(permutationTest(asDifferences(std::vector{-1.0, 2.0, 3.0})).p, 0.5);
    EXPECT_EQ(permutationTest(asDifferences(std::vector{5.0})).p, 1.0);
    EXPECT_EQ(permutationTest(asDifferences(std::vector{5.0, 4.0})).p, 0.5);
    EXPECT_EQ(permutationTest(asDifferences(std::vector(10, 2.0))).p, 2.0 / 1024.0) << "all equal";
}

// Fisher 1935, ch. 3: Darwin's maize, 15 pairs, eighths of an inch; 863 of 32768 patterns have a sum as
// large, both tails 1726 (from memory: 0.05267).
TEST(Permutation, DarwinsMaize) {
    const std::vector<double> d{49, -67, 8, 16, 6, 23, 28, 41, 14, 29, 56, 24, 75, 60, -48};
    const PermutationTest r = permutationTest(asDifferences(d));
    EXPECT_EQ(r.asExtreme, 1726U);
    EXPECT_TRUE(isClose(r.p, 0.052673339843750, {.relative = 1e-12}));
    EXPECT_TRUE(isClose(r.meanDifference, 314.0 / 15.0, {.relative = 1e-15}));
}

TEST(Permutation, AgainstR) {
    const auto cases = test::readRobustCases();
    const auto expected = test::readReference("permutation.csv");
    ASSERT_EQ(expected.size(), 220U);
    int random = 0;
    for (const auto& row : expected) {
        const std::string name = row.text("case");
        const PermutationTest r =
            permutationTest(cases.at(name).differences(), {.replicates = 999, .seed = 4294967299});
        EXPECT_EQ(static_cast<double>(r.nonZero), row.number("nonzero")) << name;
        EXPECT_EQ(static_cast<double>(r.zeros), row.number("zeros")) << name;
        EXPECT_TRUE(isClose(r.p, row.number("p"), {.relative = 1e-12})) << name;
        if (r.p) {
            EXPECT_EQ(static_cast<double>(r.asExtreme), row.number("extreme")) << name;
            EXPECT_EQ(r.method, row.text("method")) << name;
        }
        random += r.method == "monte-carlo" ? 1 : 0;
    }
    EXPECT_GT(random, 20);
}

TEST(Permutation, RandomPatternsComeNearTheExactP) {
    const Differences sleep = pairedDifferences(test::sleepFirst, test::sleepSecond);
    const double exact = *permutationTest(sleep).p;
    const PermutationTest r = permutationTest(sleep, {.replicates = 20'000, .exactUpTo = 0});
    EXPECT_EQ(r.method, "monte-carlo");
    EXPECT_NEAR(*r.p, exact, 5.0 * std::sqrt(exact / 20'000.0));
    EXPECT_TRUE(isClose(r.monteCarloError, std::sqrt(*r.p * (1.0 - *r.p) / 20'000.0), {.relative = 1e-14}));
    EXPECT_NE(r.asExtreme,
              permutationTest(sleep, {.replicates = 20'000, .seed = 2, .exactUpTo = 0}).asExtreme);
}

TEST(Permutation, ThreadsDoNotEnter) {
    std::vector<double> d;
    for (int i = 0; i < 22; ++i) {
        d.push_back(0.3 * i - 2.0);
    }
    const Differences differences = asDifferences(d);
    for (const std::size_t exactUpTo : {18U, 22U}) {
        const auto one = permutationTest(differences, {.replicates = 30'000, .exactUpTo = exactUpTo});
        const auto four =
            permutationTest(differences, {.replicates = 30'000, .exactUpTo = exactUpTo, .threads = 4});
        EXPECT_EQ(one.asExtreme, four.asExtreme);
        EXPECT_EQ(one.p, four.p);
    }
}

TEST(Permutation, ScaleSignOrderAndZeros) {
    const std::vector<double> d{0.3, -0.1, 0.7, 1.1, -0.2, 0.4, 0.5};
    const PermutationTest base = permutationTest(asDifferences(d));
    for (const double unit : {1e-300, -1e-6, -1.0, 1e6, 1e300}) {
        std::vector<double> other(d.rbegin(), d.rend());
        for (double& x : other) {
            x *= unit;
        }
        other.insert(other.begin() + 2, 0.0);
        const PermutationTest r = permutationTest(asDifferences(other));
        EXPECT_EQ(r.p, base.p) << unit;
        EXPECT_EQ(r.zeros, 1U);
        EXPECT_EQ(r.nonZero, 7U);
    }
}

// 0.3 − 0.2, 0.2 − 0.1 and 0.4 − 0.3 differ in their last bits: as numbers of the reader they are all 0.1.
TEST(Permutation, RoundingOfDecimalsHidesNoTie) {
    const std::vector<double> food{0.3, 0.2, 0.3, 0.7};
    const std::vector<double> comparator{0.2, 0.1, 0.4, 0.6};
    // Tenths 1, 1, −1, 1: |sum| = 2; all but the six patterns of sum 0 reach it.
    EXPECT_EQ(permutationTest(pairedDifferences(food, comparator)).p, 10.0 / 16.0);
}

TEST(Permutation, AbsentWithReason) {
    constexpr double nan = std::numeric_limits<double>::quiet_NaN();
    const Differences some = asDifferences(std::vector{1.0, 2.0});
    for (const PermutationTest& r :
         {permutationTest({}), permutationTest(asDifferences(std::vector{0.0, 0.0})),
          permutationTest({{1.0, nan}, 0.0}), permutationTest(some, {.replicates = 98}),
          permutationTest(some, {.replicates = 100'000'001}), permutationTest(some, {.exactUpTo = 25}),
          permutationTest(some, {}, [](double, std::string_view) { return false; })}) {
        EXPECT_FALSE(r.p);
        EXPECT_FALSE(r.absentBecause.empty());
        EXPECT_TRUE(r.method.empty());
    }
}

TEST(Permutation, ProgressIsToldAndCanStop) {
    std::vector<double> last;
    const Differences some = asDifferences(std::vector(30, 1.0));
    const auto keep = [&](double share, std::string_view stage) {
        EXPECT_FALSE(stage.empty());
        last.push_back(share);
        return true;
    };
    EXPECT_TRUE(permutationTest(some, {.replicates = 20'000}, keep).p);
    EXPECT_EQ(last.front(), 0.0);
    EXPECT_EQ(last.back(), 1.0);
    EXPECT_TRUE(std::is_sorted(last.begin(), last.end()));
    int asked = 0;
    const auto stopThird = [&](double, std::string_view) { return ++asked < 3; };
    EXPECT_FALSE(permutationTest(some, {.replicates = 20'000}, stopThird).p);
    EXPECT_EQ(asked, 3);
}

}  // namespace
}  // namespace aftercurve
