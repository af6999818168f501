#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "core/compare/effect_size.h"
#include "core/compare/hodges_lehmann.h"
#include "core/compare/paired_t.h"
#include "core/compare/signed_rank.h"
#include "core/index/food_index.h"
#include "core/index/index_scale.h"
#include "core/index/meal_index.h"

namespace aftercurve {

/// How an index and its interval are found from the subjects kept by the plan's outlier rule. The mean of
/// single ratios over the reference visits is no way: the mean of the reference visits comes first (FAO
/// 1998).
enum class IndexWayKind {
    meanOfRatios,            ///< the plan's: mean over subjects of each one's ratio, t interval
    meanOfRatiosBca,         ///< the same estimate, bootstrap BCa
    meanOfRatiosPercentile,  ///< the same estimate, bootstrap percentile
    ratioOfMeans,            ///< 100 × mean of the foods' means / mean of the references', Fieller
    ratioOfMeansBca,         ///< the same estimate, bootstrap BCa
    ratioOfMeansPercentile,  ///< the same estimate, bootstrap percentile
    geometricMean,           ///< geometric mean of the ratios, t interval of their logarithms
    median,                  ///< median of the ratios, interval of order statistics
};

/// "mean_of_ratios", "mean_of_ratios_bca", ...: the item of a row.
std::string keyOf(IndexWayKind way);
/// "Mean of ratios", "Ratio of means", "Geometric mean of ratios", "Median of ratios".
std::string labelOf(IndexWayKind way);
/// "t", "bootstrap, BCa", "Fieller", "t of logarithms", "order statistics".
std::string intervalLabelOf(IndexWayKind way);

/// One estimate of the same index by another way, beside the plan's.
struct IndexWay {
    std::string analyte;
    std::string measure;
    std::string food;
    std::string reference;
    IndexWayKind way = IndexWayKind::meanOfRatios;
    std::size_t n = 0;  ///< subjects kept
    std::optional<double> estimate;
    std::optional<double> ciLow;
    std::optional<double> ciHigh;
    std::optional<double> difference;      ///< estimate − the plan's mean of ratios
    std::optional<double> covarianceTerm;  ///< of the ratio of means: what `difference` is by the identity
                                           ///< of core/index/ratio_identity.h
    std::string set;     ///< Fieller's: "bounded", "half-line", "outside", "whole-line"; empty: none
    std::string remark;  ///< why something is absent, or what the interval is
};

/// The index of one food under one outlier rule, whatever the plan's rule is.
struct IndexOutliers {
    std::string analyte;
    std::string measure;
    std::string food;
    std::string reference;
    IndexOutlierRule rule = IndexOutlierRule::none;
    bool planned = false;              ///< it is the plan's rule
    FoodIndex index;                   ///< under this rule
    std::vector<std::string> leftOut;  ///< subject codes
    std::string indexClass;            ///< empty: none
};

/// Both indices of one subject.
struct IndexPairSubject {
    std::string subject;
    std::optional<double> food;
    std::optional<double> comparator;  ///< 100 where the comparator is the reference
    std::optional<double> difference;
    std::string leftOutBecause;
};

/// The index of two foods compared within subjects; difference = food − comparator, in points of the index.
/// Hypothesis: the mean difference is 0.
struct IndexPair {
    std::string analyte;
    std::string measure;
    std::string food;
    std::string comparator;
    bool withReference = false;  ///< the comparator is the reference food, 100 in every subject
    std::vector<IndexPairSubject> subjects;
    PairedT t;
    std::optional<double> pAdjusted;  ///< of t.p, over all pairs of the analyte
    SignedRank signedRank;
    HodgesLehmann hodgesLehmann;
    EffectSize effect;
};

/// What an index means for one portion: scale, load, response.
struct IndexPortion {
    std::string analyte;
    std::string measure;
    std::string food;
    std::string reference;
    std::size_t n = 0;
    IndexInterval index;           ///< on the reference's scale; absent where the portions do not match
    std::optional<double> factor;  ///< to the glucose scale; glucose alone
    std::string factorSource;
    IndexInterval glucoseScale;  ///< index × factor
    std::string indexClass;      ///< of the glucose scale
    std::optional<double> carbohydrateG;
    std::optional<double> referenceCarbohydrateG;
    std::optional<double> mismatchPercent;  ///< of the two
    std::optional<bool> matched;            ///< within the plan's tolerance; absent: not known
    IndexInterval load;                     ///< of the portion, g
    std::optional<double> servingG;
    IndexInterval servingLoad;       ///< g
    IndexInterval relativeResponse;  ///< 100 × response of the portion / of the reference's, where the
                                     ///< portions do not match
    std::string remark;
};

/// The index that the parts of a mixed meal predict, and the one observed; both on the glucose scale.
struct MealFinding {
    std::string food;
    std::string measure;  ///< of the observed index
    std::vector<MealPart> parts;
    MealIndex predicted;
    double breadFactor = 0.0;       ///< for parts on the white-bread scale
    std::string breadFactorSource;  ///< empty where no part stands on that scale
    std::size_t n = 0;
    IndexInterval observed;
    std::optional<double> difference;       ///< observed − predicted
    std::optional<bool> holds;              ///< whether the interval holds the predicted index
    std::optional<double> carbohydrateG;    ///< of the portion
    std::optional<double> mismatchPercent;  ///< 100 × (sum of the parts − portion) / portion
    std::string remark;
};

}  // namespace aftercurve
