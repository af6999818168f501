// Hochberg's and Benjamini & Hochberg's adjustment: by hand, by definition, and against R's p.adjust on 240
// families (tests/reference/multiplicity.R, R 4.2.2, 13 digits).
#include <gtest/gtest.h>

#include <algorithm>
#include <limits>
#include <map>
#include <random>
#include <set>
#include <string>

#include "core/compare/benjamini_hochberg.h"
#include "core/compare/hochberg.h"
#include "core/compare/holm.h"
#include "core/compare/multiplicity_words.h"
#include "tests/support/close.h"
#include "tests/support/reference_csv.h"

namespace aftercurve {
namespace {

using test::isClose;
using Ps = std::vector<std::optional<double>>;

TEST(Multiplicity, HochbergByHand) {
    // Sorted 0.005, 0.01, 0.03, 0.04 times 4, 3, 2, 1: 0.02, 0.03, 0.06, 0.04; minimum from the right.
    const Ps adjusted = hochbergAdjusted(Ps{0.01, 0.04, 0.03, 0.005});
    EXPECT_TRUE(isClose(adjusted[0], 0.03, {.relative = 1e-15}));
    EXPECT_TRUE(isClose(adjusted[1], 0.04, {.relative = 1e-15}));
    EXPECT_TRUE(isClose(adjusted[2], 0.04, {.relative = 1e-15}));
    EXPECT_TRUE(isClose(adjusted[3], 0.02, {.relative = 1e-15}));
}

// Benjamini & Hochberg 1995, section 4 (from memory): 15 p, of which the four smallest are rejected at 0.05
// and Bonferroni and Hochberg reject three.
TEST(Multiplicity, InfarctionExample) {
    const Ps p{0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344,
               0.0459, 0.3240, 0.4262, 0.5719, 0.6528, 0.7590, 1.0000};
    const auto rejected = [](const Ps& adjusted) {
        return std::count_if(adjusted.begin(), adjusted.end(), [](const auto& q) { return *q <= 0.05; });
    };
    EXPECT_EQ(rejected(benjaminiHochbergAdjusted(p)), 4);
    EXPECT_EQ(rejected(hochbergAdjusted(p)), 3);
    EXPECT_TRUE(isClose(benjaminiHochbergAdjusted(p)[3], 15.0 * 0.0095 / 4.0, {.relative = 1e-15}));
}

TEST(Multiplicity, EveryMethodAgainstR) {
    std::map<std::string, std::vector<test::ReferenceRow>> families;
    for (const auto& row : test::readReference("multiplicity.csv")) {
        families[row.text("family")].push_back(row);
    }
    ASSERT_EQ(families.size(), 240U);
    for (const std::string word : {"holm", "hochberg", "benjamini-hochberg"}) {
        const MultiplicityMethod* method = multiplicityMethod(word);
        ASSERT_NE(method, nullptr);
        std::string column = word;
        std::replace(column.begin(), column.end(), '-', '_');
        for (const auto& [name, rows] : families) {
            Ps p;
            for (const auto& row : rows) {
                p.push_back(row.number("p"));
            }
            const Ps adjusted = method->adjust(p);
            ASSERT_EQ(adjusted.size(), rows.size());
            for (std::size_t i = 0; i < rows.size(); ++i) {
                EXPECT_TRUE(isClose(adjusted[i], rows[i].number(column), {.relative = 1e-12}))
                    << word << " " << name;
            }
        }
    }
}

TEST(Multiplicity, AbsentAndImpossibleOnesDoNotCount) {
    constexpr double nan = std::numeric_limits<double>::quiet_NaN();
    const Ps absent{0.02, std::nullopt, 0.5, nan, -0.1, 1.5};
    EXPECT_EQ(hochbergAdjusted(absent), (Ps{0.04, std::nullopt, 0.5, {}, {}, {}}));
    EXPECT_EQ(benjaminiHochbergAdjusted(absent), (Ps{0.04, std::nullopt, 0.5, {}, {}, {}}));
    for (const auto adjust : {hochbergAdjusted, benjaminiHochbergAdjusted}) {
        EXPECT_TRUE(adjust(Ps{}).empty());
        EXPECT_EQ(adjust(Ps{std::nullopt}), Ps{std::nullopt});
        EXPECT_EQ(adjust(Ps{0.3}), Ps{0.3});
        EXPECT_EQ(adjust(Ps{0.3, 0.3, 0.3}), (Ps{0.3, 0.3, 0.3})) << "all tied: the largest is unchanged";
        EXPECT_EQ(adjust(Ps{0.0, 1.0, 1e-300}), (Ps{0.0, 1.0, adjust(Ps{0.0, 1.0, 1e-300})[2]}));
    }
}

TEST(Multiplicity, OrderedTiedAlikeAndNeverAboveHolm) {
    std::mt19937 random(20261125);
    for (int round = 0; round < 300; ++round) {
        Ps p(1 + random() % 12);
        for (auto& one : p) {
            if (random() % 6 != 0) {
                one = static_cast<double>(random() % 60) / 200.0;  // coarse: ties occur
            }
        }
        const Ps holm = holmAdjusted(p);
        const Ps hochberg = hochbergAdjusted(p);
        const Ps discovery = benjaminiHochbergAdjusted(p);
        for (std::size_t i = 0; i < p.size(); ++i) {
            ASSERT_EQ(hochberg[i].has_value(), p[i].has_value());
            ASSERT_EQ(discovery[i].has_value(), p[i].has_value());
            if (!p[i]) {
                continue;
            }
            EXPECT_GE(*hochberg[i], *p[i]);
            EXPECT_GE(*discovery[i], *p[i]);
            EXPECT_LE(*hochberg[i], *holm[i]);
            EXPECT_LE(*discovery[i], *hochberg[i] * (1.0 + 1e-15));
            EXPECT_LE(*hochberg[i], 1.0);
            for (std::size_t j = 0; j < p.size(); ++j) {
                EXPECT_FALSE(p[j] && *p[i] <= *p[j] && *hochberg[i] > *hochberg[j]);
                EXPECT_FALSE(p[j] && *p[i] <= *p[j] && *discovery[i] > *discovery[j]);
            }
        }
        const Ps reversed(p.rbegin(), p.rend());
        for (const auto adjust : {hochbergAdjusted, benjaminiHochbergAdjusted}) {
            Ps back = adjust(reversed);
            std::reverse(back.begin(), back.end());
            EXPECT_EQ(back, adjust(p));
        }
    }
}

TEST(Multiplicity, WordsAreUniqueAndFound) {
    std::set<std::string_view> words;
    for (const MultiplicityMethod& method : multiplicityMethods()) {
        EXPECT_TRUE(words.insert(method.word).second);
        EXPECT_EQ(multiplicityMethod(method.word), &method);
        EXPECT_FALSE(method.label.empty() || method.holds.empty());
    }
    EXPECT_EQ(words, (std::set<std::string_view>{"none", "holm", "hochberg", "benjamini-hochberg"}));
    EXPECT_EQ(multiplicityMethod("Holm"), nullptr);
    EXPECT_EQ(multiplicityMethod(""), nullptr);
    EXPECT_EQ(multiplicityMethod("none")->adjust(Ps{0.4, std::nullopt}), (Ps{0.4, std::nullopt}));
}

}  // namespace
}  // namespace aftercurve
