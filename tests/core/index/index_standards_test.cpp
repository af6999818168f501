// What the published rules ask, and the class of an index by each. Expected values: ISO 26642:2010 and WS/T
// 652 as their summaries say (docs/methods.md says what was read), AS 4694 from memory.
#include "core/index/index_standards.h"

#include <gtest/gtest.h>

#include <limits>

#include "core/curve/measures.h"
#include "core/index/food_index.h"

namespace aftercurve {
namespace {

TEST(IndexClass, OfEachRuleAtItsLimits) {
    struct Expected {
        double index;
        const char* iso;
        const char* as;
        const char* wst;
    };
    // Rounded, 55.4 is 55 and 69.5 is 70, which ISO calls medium and AS high; WS/T does not round.
    for (const Expected& e :
         {Expected{55.0, "low", "low", "low"}, Expected{55.4, "low", "low", "medium"},
          Expected{55.5, "medium", "medium", "medium"}, Expected{69.4, "medium", "medium", "medium"},
          Expected{69.5, "medium", "high", "medium"}, Expected{70.0, "medium", "high", "medium"},
          Expected{70.4, "medium", "high", "high"}, Expected{70.5, "high", "high", "high"},
          Expected{-3.0, "low", "low", "low"}, Expected{1e300, "high", "high", "high"},
          Expected{1e-300, "low", "low", "low"}}) {
        EXPECT_EQ(indexClass(IndexStandard::iso26642, e.index), e.iso) << e.index;
        EXPECT_EQ(indexClass(IndexStandard::as4694, e.index), e.as) << e.index;
        EXPECT_EQ(indexClass(IndexStandard::wst652, e.index), e.wst) << e.index;
        EXPECT_EQ(indexClass(IndexStandard::fao1998, e.index), "") << e.index;
        EXPECT_EQ(indexClass(IndexStandard::iso26642, e.index), glycaemicClass(e.index)) << e.index;
    }
}

TEST(IndexClass, NothingForWhatIsNoNumber) {
    for (const IndexStandardRules& rules : indexStandards()) {
        EXPECT_EQ(indexClass(rules.standard, std::numeric_limits<double>::quiet_NaN()), "");
        EXPECT_EQ(indexClass(rules.standard, std::numeric_limits<double>::infinity()), "");
        EXPECT_EQ(indexClass(rules.standard, -std::numeric_limits<double>::infinity()), "");
    }
    EXPECT_EQ(indexClassWords(IndexStandard::fao1998), "");
    EXPECT_NE(indexClassWords(IndexStandard::as4694).find("high from 70"), std::string_view::npos);
}

TEST(IndexStandards, EachIsThereOnceWithItsNumbers) {
    ASSERT_EQ(indexStandards().size(), 4U);
    for (const IndexStandard standard :
         {IndexStandard::iso26642, IndexStandard::fao1998, IndexStandard::wst652, IndexStandard::as4694}) {
        const IndexStandardRules& rules = rulesOf(standard);
        EXPECT_EQ(rules.standard, standard);
        EXPECT_FALSE(rules.title.empty());
        EXPECT_FALSE(rules.citation.empty());
        ASSERT_TRUE(rules.areaMeasure);
        EXPECT_TRUE(measureIndex(rules.areaMeasure->value));
    }
    EXPECT_EQ(rulesOf(IndexStandard::iso26642).fewestSubjects->value, 10U);
    EXPECT_EQ(rulesOf(IndexStandard::iso26642).fewestSubjects->basis, RuleBasis::read);
    EXPECT_EQ(rulesOf(IndexStandard::fao1998).fewestSubjects->value, 6U);
    EXPECT_EQ(rulesOf(IndexStandard::fao1998).fewestSubjects->basis, RuleBasis::fromMemory);
    EXPECT_EQ(rulesOf(IndexStandard::fao1998).referenceTests->value.fewest, 3U);
    // FAO takes the value at 0 alone; ISO the mean of two.
    EXPECT_EQ(rulesOf(IndexStandard::fao1998).baseline->value.rule, BaselineRule::timeZero);
    EXPECT_EQ(rulesOf(IndexStandard::iso26642).baseline->value.samples, 2U);
}

TEST(IndexStandards, WhatIsNotKnownIsAbsent) {
    const IndexStandardRules& fao = rulesOf(IndexStandard::fao1998);
    EXPECT_FALSE(fao.classes);
    EXPECT_FALSE(fao.referenceCvPercent);
    EXPECT_FALSE(fao.outlierSds);
    const IndexStandardRules& wst = rulesOf(IndexStandard::wst652);
    EXPECT_FALSE(wst.sampleTimes);
    EXPECT_FALSE(wst.referenceCvPercent);
    EXPECT_FALSE(wst.healthCriteria);  // clause 4 exists; its text is not known
}

TEST(IndexStandards, AllOfAs4694IsFromMemory) {
    const IndexStandardRules& r = rulesOf(IndexStandard::as4694);
    EXPECT_EQ(r.fewestSubjects->basis, RuleBasis::fromMemory);
    EXPECT_EQ(r.portion->basis, RuleBasis::fromMemory);
    EXPECT_EQ(r.classes->basis, RuleBasis::fromMemory);
    EXPECT_FALSE(r.analyserCvPercent);
}

}  // namespace
}  // namespace aftercurve
