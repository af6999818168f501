#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "core/base/problem.h"
#include "core/compare/effect_size.h"
#include "core/compare/hodges_lehmann.h"
#include "core/compare/mixed_model.h"
#include "core/compare/model_comparisons.h"
#include "core/compare/model_residuals.h"
#include "core/compare/paired_t.h"
#include "core/compare/shapiro_wilk.h"
#include "core/compare/signed_rank.h"
#include "core/curve/window.h"
#include "core/findings/agreement_findings.h"
#include "core/findings/bridge_findings.h"
#include "core/findings/companions.h"
#include "core/findings/conformity_findings.h"
#include "core/findings/crossover_findings.h"
#include "core/findings/curve_part_findings.h"
#include "core/findings/demographics.h"
#include "core/findings/digestion_findings.h"
#include "core/findings/evidence_findings.h"
#include "core/findings/fibre_findings.h"
#include "core/findings/index_details.h"
#include "core/findings/insulin_findings.h"
#include "core/findings/laboratory_effects.h"
#include "core/findings/portion_findings.h"
#include "core/findings/registered_findings.h"
#include "core/findings/sensitivity.h"
#include "core/findings/study_flow.h"
#include "core/findings/time_course_findings.h"
#include "core/findings/tolerance_findings.h"
#include "core/index/food_index.h"
#include "core/study/study.h"

namespace aftercurve {

/// Everything about one curve: its samples, what the window made of them, and its measures.
struct CurveFinding {
    std::string subject;
    std::string food;
    int visit = 1;
    int period = 0;  ///< 0: not given
    std::string analyte;
    std::vector<double> timeMin;  ///< all samples with a value, ascending
    std::vector<double> value;
    std::vector<double>
        scheduledMin;     ///< same length: nominal times, equal to `timeMin` where none are given
    WindowPoints window;  ///< empty points where not estimable
    std::optional<double> baseline;
    std::vector<std::optional<double>> measures;  ///< as measureList(); all absent where not estimable
    bool excluded = false;
    std::string excludedBecause;
    std::string notEstimable;  ///< reason; empty: estimable
    std::vector<std::string> notes;
    std::string file;     ///< of its first row
    std::size_t row = 0;  ///< its first row

    bool counts() const { return !excluded && notEstimable.empty(); }
};

/// Mean curve of one food over subjects (replicate visits of a subject are averaged first, at each time).
/// A subject counts at a time where it has a value; `n` says how many did. Excluded and not estimable curves
/// do not count.
struct MeanCurve {
    std::string food;
    std::string analyte;
    std::vector<double> timeMin;
    std::vector<std::size_t> n;
    std::vector<double> mean;                ///< concentration
    std::vector<std::optional<double>> sem;  ///< absent where n < 2
    std::vector<double> increment;           ///< mean of (value − the curve's baseline)
    std::vector<std::optional<double>> incrementSem;
    WindowPoints
        window;  ///< of the mean curve itself, for the shaded figure; times that all its subjects share
    std::vector<std::string> notes;
    std::vector<std::optional<double>> sd = {};  ///< absent where n < 2
    /// Mean ± t(1 − alpha/2, n − 1) · SEM, the plan's alpha; absent where n < 2 or all values are equal.
    std::vector<std::optional<double>> ciLow = {};
    std::vector<std::optional<double>> ciHigh = {};
};

/// Distribution of one measure over subjects (replicate visits averaged at the measure first).
struct FoodSummary {
    std::string food;
    std::string analyte;
    std::string measure;
    std::size_t n = 0;
    std::optional<double> mean;
    std::optional<double> sd;
    std::optional<double> sem;
    std::optional<double> median;
    std::optional<double> lowerQuartile;  ///< linear interpolation of order statistics, h = (n − 1)p + 1
                                          ///< (Hyndman & Fan 1996, type 7)
    std::optional<double> upperQuartile;
    std::optional<double> minimum;
    std::optional<double> maximum;
};

struct PairFinding {
    std::string subject;
    double food = 0.0;        ///< mean of the subject's visits
    double comparator = 0.0;  ///< likewise
    double difference = 0.0;
};

struct LeftOutPair {
    std::string subject;
    std::string reason;
};

/// One food against the comparator for one measure of one analyte; difference = food − comparator.
struct ComparisonFinding {
    std::string analyte;
    std::string measure;
    std::string unit;  ///< of the measure
    std::string food;
    std::string comparator;
    std::vector<PairFinding> pairs;  ///< subjects with both
    std::vector<LeftOutPair> leftOut;
    std::optional<double> foodMean;  ///< over the pairs, so that the two means differ by the mean difference
    std::optional<double> comparatorMean;  ///< likewise
    PairedT t;
    std::optional<double> pAdjusted;  ///< of t.p, within analyte and measure
    SignedRank signedRank;
    HodgesLehmann hodgesLehmann;
    EffectSize effect;
    ShapiroWilk normality;  ///< of the differences
};

struct IndexFinding {
    std::string analyte;
    std::string measure;
    std::string food;
    std::string reference;
    FoodIndex index;
    std::optional<std::string> indexClass;  ///< by the plan's standard; glucose with the positive
                                            ///< incremental area only
};

/// Where a row of a mixed model comes from.
struct ModelRowSource {
    std::string subject;
    std::string food;
    int period = 0;  ///< 0: not given
};

/// The mixed model of one measure of one analyte: all foods at once, one row a subject, food and visit that
/// counts (replicates are not averaged here). Levels in `fit` are positions in `foods`.
struct ModelFinding {
    std::string analyte;
    std::string measure;
    std::string unit;                ///< of the measure
    std::string formula;             ///< "food + period + sequence + (1 | subject)"
    std::vector<std::string> foods;  ///< ids
    std::string comparator;          ///< food id; empty where the plan has none
    std::string dfMethod;            ///< "satterthwaite", "kenward-roger"
    MixedModel fit;
    std::vector<ModelRowSource> rows;   ///< of the data, in their order
    std::vector<std::string> subjects;  ///< ids of the study, as the data number them
    ModelResiduals residuals;
    ModelComparisons family;                       ///< of the differences that the plan judges together
    std::vector<std::optional<double>> pAdjusted;  ///< by difference; those of the family only
    bool periodLeftOut = false;                    ///< because food and period cannot be told apart
    std::size_t carryOverUnknown = 0;              ///< rows left out: what was eaten before is not known
    std::vector<std::string> notes;                ///< which factors are not in the formula, and why
};

/// All that `analyse` knows. Complete and immutable: figures, tables, report and JSON are drawn from it and
/// from the Study, and compute nothing.
struct Findings {
    Plan plan;                                  ///< as run, the comparator filled in
    std::vector<RegisteredFinding> registered;  ///< oldest first
    std::vector<InputFile> inputs;
    std::vector<CurveFinding> curves;  ///< by analyte, subject, food, visit
    std::vector<MeanCurve> meanCurves;
    std::vector<FoodSummary> summaries;
    std::vector<ComparisonFinding> comparisons;
    std::vector<ModelFinding> models;  ///< by analyte and measure
    Companions companions;
    std::vector<CrossoverFinding> crossovers;    ///< by analyte and measure
    std::vector<TimeCourseFinding> timeCourses;  ///< by analyte
    std::vector<IndexFinding> index;
    std::vector<IndexWay> indexWays;
    std::vector<IndexPair> indexPairs;
    std::vector<IndexPortion> indexPortions;
    std::vector<MealFinding> meals;
    std::vector<ConformityFinding> conformity;
    std::vector<EvidenceFinding> evidence;
    std::vector<PortionFinding> portions;
    std::vector<InsulinMeasure> insulinMeasures;
    std::vector<InsulinSummary> insulinSummaries;
    std::vector<CurvePart> curveParts;
    std::vector<CurvePartFinding> curvePartFindings;
    std::vector<WithinSubjectFinding> withinSubject;
    std::vector<SensitivityFinding> sensitivity;  ///< by analyte and food
    std::size_t exclusionCount = 0;               ///< of the study that was analysed
    /// The same as `comparisons` and `index`, from the same study without its exclusions. Empty where it has
    /// none. Curves that are not estimable stay so.
    std::vector<ComparisonFinding> comparisonsIgnoringExclusions;
    std::vector<IndexFinding> indexIgnoringExclusions;
    bool exclusionsIgnored = false;  ///< the whole run was asked to take the study without its exclusions
    std::vector<Problem> problems;   ///< errors first, then warnings, then notes; accepted ones last of each
    std::vector<IndexOutliers> indexOutliers;  ///< by analyte, food and rule; empty as `index`
    StudyFlow flow;
    DigestionFindings digestion;
    FibreFindings fibre;
    ToleranceFindings tolerance;
    BridgeFindings bridge;
    std::vector<AgreementFinding> agreement;          ///< one for each comparison
    std::vector<DemographicsFinding> demographics;    ///< by group; empty where there is no subject
    std::vector<LaboratoryEffect> laboratoryEffects;  ///< empty where nothing of the laboratory is excluded
};

}  // namespace aftercurve
