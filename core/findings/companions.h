#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/base/progress.h"
#include "core/compare/bootstrap.h"
#include "core/compare/equivalence.h"
#include "core/compare/friedman.h"
#include "core/compare/influence.h"
#include "core/compare/log_ratio.h"
#include "core/compare/normal_quantiles.h"
#include "core/compare/one_sided_margin.h"
#include "core/compare/permutation_test.h"
#include "core/compare/ratio_of_means.h"
#include "core/compare/sign_test.h"
#include "core/compare/trimmed_mean.h"
#include "core/study/study.h"

namespace aftercurve {

struct ComparisonFinding;
struct CurveFinding;

/// What other tests make of the pairs of one comparison. Each stands in its own header with hypothesis and
/// source; none of them is the main result, and none is adjusted for several foods.
struct CompanionFinding {
    std::string analyte;
    std::string measure;
    std::string unit;
    std::string food;
    std::string comparator;
    std::vector<std::string> subjects;  ///< of the pairs, in the order that `influence` counts them by
    SignTest sign;
    PermutationTest permutation;
    Bootstrap bootstrap;  ///< of the mean difference
    TrimmedMean trimmed;
    LogRatio logRatio;
    RatioOfMeans ratio;
    Bootstrap ratioBootstrap;
    Influence influence;
    NormalQuantiles quantiles;  ///< of the differences; index: position in `subjects`
};

/// All foods of one measure at once, by ranks within subjects.
struct RankFinding {
    std::string analyte;
    std::string measure;
    std::vector<std::string> foods;  ///< ids; columns of `friedman`
    Friedman friedman;
};

/// One food against the plan's margins, on one scale.
struct MarginFinding {
    std::string analyte;
    std::string measure;
    std::string unit;  ///< of the margins; empty for a ratio
    std::string food;
    std::string comparator;
    MarginScale scale = MarginScale::meanDifference;
    double low = 0.0;
    double high = 0.0;
    Equivalence result;
};

/// One food against the plan's margin for the worse.
struct NonInferiorityFinding {
    std::string analyte;
    std::string measure;
    std::string unit;
    std::string food;
    std::string comparator;
    double margin = 0.0;  ///< above 0, towards the worse
    OneSidedMargin result;
};

struct Companions {
    std::vector<CompanionFinding> comparisons;  ///< as Findings::comparisons
    std::vector<RankFinding> ranks;             ///< by analyte and measure; three foods or more
    std::vector<MarginFinding> margins;
    std::vector<NonInferiorityFinding> nonInferiority;
};

/// Of comparisons that are found already. Resampling takes `resamples` and `seed` of the plan; with 0
/// resamples the bootstrap and a permutation test that would be random are absent and say so. Margins of the
/// plan apply to the main measure of their analyte. Stopped by progress: nothing.
std::optional<Companions> companionsOf(const Study& study, const Plan& plan,
                                       std::span<const CurveFinding> curves,
                                       std::span<const ComparisonFinding> comparisons,
                                       const Progress& progress);

}  // namespace aftercurve
