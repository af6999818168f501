#include "core/compare/model_comparisons.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>
#include <string>
#include <vector>

#include "core/compare/holm.h"
#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;

constexpr auto everyAdjustment = {
    ModelAdjustment::none,     ModelAdjustment::bonferroni,        ModelAdjustment::holm,
    ModelAdjustment::hochberg, ModelAdjustment::benjaminiHochberg, ModelAdjustment::tukey,
    ModelAdjustment::dunnett};
constexpr auto bothFamilies = {ModelFamily::againstComparator, ModelFamily::allPairs};

MixedModelData study(std::size_t subjects, std::size_t foods, double unit = 1.0) {
    MixedModelData data;
    data.factors = {{"food", {}}};
    for (std::size_t f = 0; f < foods; ++f) {
        data.factors[0].levels.push_back("f" + std::to_string(f));
    }
    std::mt19937 random(8);
    for (std::size_t s = 0; s < subjects; ++s) {
        const auto level = static_cast<double>(random() % 300);
        for (std::size_t f = 0; f < foods; ++f) {
            data.rows.push_back(
                {s,
                 {f},
                 unit * (level + 30.0 * static_cast<double>(f) + static_cast<double>(random() % 100))});
        }
    }
    return data;
}

ModelComparisons judged(const MixedModel& model, ModelFamily family, ModelAdjustment adjustment,
                        double alpha = 0.05) {
    ModelComparisonOptions options;
    options.family = family;
    options.adjustment = adjustment;
    options.alpha = alpha;
    options.comparator = 0;
    return modelComparisons(model, options);
}

// Complete and without period: df = (n − 1)(k − 1) for all, correlations ½ by design. The widths are then
// those of the printed tables: 11 subjects and 3 foods, df 20: Tukey q 3.577935/√2, Dunnett 2.378690.
TEST(ModelComparisons, WidthsOfPrintedTablesInACompleteDesign) {
    for (const DfMethod method : {DfMethod::satterthwaite, DfMethod::kenwardRoger}) {
        MixedModelOptions options;
        options.comparator = 0;
        options.dfMethod = method;
        const MixedModel model = mixedModel(study(11, 3), options);
        ASSERT_FALSE(model.boundary);
        EXPECT_TRUE(isClose(model.differences[0].df, 20.0, {.relative = 1e-7}));
        EXPECT_TRUE(isClose(differenceCorrelation(model, 0, 1), 0.5, {.relative = 1e-9}));
        EXPECT_TRUE(isClose(differenceCorrelation(model, 0, 0), 1.0, {.relative = 1e-12}));
        for (const auto& [adjustment, family, width] :
             {std::tuple{ModelAdjustment::tukey, ModelFamily::allPairs, 3.577935 / std::sqrt(2.0)},
              std::tuple{ModelAdjustment::dunnett, ModelFamily::againstComparator, 2.378690},
              std::tuple{ModelAdjustment::none, ModelFamily::allPairs, 2.085963}}) {
            const ModelComparisons r = judged(model, family, adjustment);
            EXPECT_EQ(r.tests, family == ModelFamily::allPairs ? 3U : 2U);
            for (const ModelComparison& c : r.comparisons) {
                const ModelDifference& d = model.differences[c.difference];
                EXPECT_TRUE(isClose(c.ciHigh, *d.estimate + width * *d.se, {.relative = 1e-6}));
                EXPECT_TRUE(
                    isClose(c.ciLow, *d.estimate - width * *d.se, {.absolute = 1e-5, .relative = 1e-6}));
            }
        }
    }
}

// An interval excludes 0 where the adjusted p is below the level; adjusted p lie between p and m·p, Tukey's
// and Dunnett's not above Bonferroni's.
TEST(ModelComparisons, IntervalsAgreeWithPAndBonferroniBounds) {
    MixedModelData data = study(9, 4);
    data.rows.erase(data.rows.begin() + 5);
    data.rows.erase(data.rows.begin() + 17);
    MixedModelOptions fit;
    fit.comparator = 0;
    const MixedModel model = mixedModel(data, fit);
    for (const ModelFamily family : bothFamilies) {
        const ModelComparisons bound = judged(model, family, ModelAdjustment::bonferroni);
        for (const ModelAdjustment adjustment : everyAdjustment) {
            for (const double alpha : {0.01, 0.05, 0.3}) {
                const ModelComparisons r = judged(model, family, adjustment, alpha);
                EXPECT_EQ(r.absentBecause.empty(), suits(adjustment, family));
                for (std::size_t i = 0; i < r.comparisons.size(); ++i) {
                    const ModelComparison& c = r.comparisons[i];
                    ASSERT_TRUE(c.pAdjusted);
                    EXPECT_GE(*c.pAdjusted, *model.differences[c.difference].p);
                    EXPECT_LE(*c.pAdjusted, *bound.comparisons[i].pAdjusted * (1.0 + 1e-9));
                    EXPECT_EQ(c.ciLow.has_value(), c.intervalAbsentBecause.empty());
                    if (c.ciLow) {
                        EXPECT_EQ(*c.ciLow > 0.0 || *c.ciHigh < 0.0, *c.pAdjusted < alpha);
                    }
                }
            }
        }
    }
}

TEST(ModelComparisons, OneDifferenceIsNotAdjusted) {
    MixedModelOptions fit;
    fit.comparator = 1;
    const MixedModel model = mixedModel(study(8, 2), fit);
    for (const ModelFamily family : bothFamilies) {
        for (const ModelAdjustment adjustment : everyAdjustment) {
            const ModelComparisons r = judged(model, family, adjustment);
            for (const ModelComparison& c : r.comparisons) {
                EXPECT_TRUE(isClose(c.pAdjusted, model.differences[0].p, {.relative = 1e-9}));
                if (c.ciLow) {
                    EXPECT_TRUE(isClose(c.ciLow, model.differences[0].ciLow, {.relative = 1e-9}));
                }
            }
        }
    }
}

TEST(ModelComparisons, StepwiseRulesAreThoseOfTheirHeaders) {
    const MixedModel model = mixedModel(study(7, 4), {});
    std::vector<std::optional<double>> p;
    for (const ModelDifference& d : model.differences) {
        p.push_back(d.p);
    }
    const auto expected = holmAdjusted(p);
    const ModelComparisons r = judged(model, ModelFamily::allPairs, ModelAdjustment::holm);
    for (std::size_t i = 0; i < expected.size(); ++i) {
        EXPECT_EQ(r.comparisons[i].pAdjusted, expected[i]);
        EXPECT_FALSE(r.comparisons[i].ciLow);
        EXPECT_FALSE(r.comparisons[i].intervalAbsentBecause.empty());
    }
}

TEST(ModelComparisons, NothingToJudgeHasAReason) {
    const MixedModel model = mixedModel(study(7, 3), {});
    for (const ModelAdjustment adjustment : everyAdjustment) {
        for (const ModelFamily family : bothFamilies) {
            ModelComparisonOptions options;
            options.family = family;
            options.adjustment = adjustment;
            if (family == ModelFamily::againstComparator) {
                EXPECT_FALSE(modelComparisons(model, options).absentBecause.empty());
                options.comparator = 9;
                EXPECT_FALSE(modelComparisons(model, options).absentBecause.empty());
            }
            // No value, one subject, one food, nothing varies.
            MixedModelData same = study(5, 3);
            for (MixedModelRow& row : same.rows) {
                row.value = 4.0;
            }
            for (const MixedModelData& data : {study(0, 3), study(1, 3), study(6, 1), same}) {
                const ModelComparisons r = judged(mixedModel(data, {}), family, adjustment);
                EXPECT_FALSE(r.absentBecause.empty());
                EXPECT_TRUE(r.comparisons.empty());
            }
        }
    }
}

// f0 is only given in period 0 and the others only later: differences with it are absent and do not count.
TEST(ModelComparisons, AbsentDifferencesDoNotCount) {
    MixedModelData data;
    data.factors = {{"food", {"f0", "f1", "f2"}}, {"period", {"0", "1", "2"}}};
    std::mt19937 random(3);
    for (std::size_t s = 0; s < 8; ++s) {
        for (std::size_t period = 0; period < 3; ++period) {
            const std::size_t food = period == 0 ? 0 : 1 + (period + s) % 2;
            data.rows.push_back({s, {food, period}, static_cast<double>(random() % 1000)});
        }
    }
    MixedModelOptions fit;
    fit.comparator = 0;
    const MixedModel model = mixedModel(data, fit);
    for (const ModelAdjustment adjustment : everyAdjustment) {
        for (const ModelFamily family : bothFamilies) {
            if (!suits(adjustment, family)) {
                continue;
            }
            const ModelComparisons r = judged(model, family, adjustment);
            EXPECT_EQ(r.tests, family == ModelFamily::allPairs ? 1U : 0U);
            for (const ModelComparison& c : r.comparisons) {
                EXPECT_EQ(c.pAdjusted.has_value(), c.difference == 2U);
                EXPECT_EQ(c.absentBecause.empty(), c.pAdjusted.has_value());
            }
        }
    }
}

TEST(ModelComparisons, UnitsDoNotMatterAndNothingIsInfinite) {
    MixedModelOptions fit;
    fit.comparator = 0;
    const MixedModel plain = mixedModel(study(7, 4), fit);
    for (const double unit : {1e-300, 1e-100, 1e100, 1e305}) {
        const MixedModel model = mixedModel(study(7, 4, unit), fit);
        for (const ModelAdjustment adjustment : everyAdjustment) {
            for (const ModelFamily family : bothFamilies) {
                const ModelComparisons a = judged(model, family, adjustment);
                const ModelComparisons b = judged(plain, family, adjustment);
                ASSERT_EQ(a.comparisons.size(), b.comparisons.size());
                for (std::size_t i = 0; i < a.comparisons.size(); ++i) {
                    EXPECT_TRUE(
                        isClose(a.comparisons[i].pAdjusted, b.comparisons[i].pAdjusted, {.relative = 1e-6}));
                    for (const auto& end : {a.comparisons[i].ciLow, a.comparisons[i].ciHigh}) {
                        EXPECT_TRUE(!end || std::isfinite(*end));
                    }
                }
            }
        }
    }
}

TEST(ModelComparisons, Words) {
    for (const ModelAdjustment adjustment : everyAdjustment) {
        EXPECT_EQ(modelAdjustmentFrom(wordFor(adjustment)), adjustment);
    }
    EXPECT_FALSE(modelAdjustmentFrom("Tukey "));
    EXPECT_FALSE(modelAdjustmentFrom(""));
    EXPECT_EQ(wordFor(ModelAdjustment::benjaminiHochberg), "benjamini-hochberg");
    EXPECT_EQ(dfMethodFrom("satterthwaite"), DfMethod::satterthwaite);
    EXPECT_EQ(dfMethodFrom("kenward-roger"), DfMethod::kenwardRoger);
    EXPECT_FALSE(dfMethodFrom("kenward roger"));
    EXPECT_EQ(wordFor(DfMethod::kenwardRoger), "kenward-roger");
}

}  // namespace
}  // namespace aftercurve
