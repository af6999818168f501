#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/study/index_plan.h"
#include "core/study/inference_plan.h"

namespace aftercurve {

/// How the value before eating is found (docs/methods.md, Baseline).
enum class BaselineRule {
    fastingMean,  ///< mean of all samples with time <= 0
    timeZero,     ///< the sample at 0 alone
};

/// What to do with a curve that misses an interior sample.
enum class MissingInteriorRule {
    span,     ///< the trapezoid spans the gap; a note says so
    exclude,  ///< the curve is not estimable
};

/// Which time a sample stands at, where both were recorded.
enum class TimeBasis {
    actual,   ///< when it was drawn
    nominal,  ///< when the protocol wanted it
};

/// What stands for a concentration below the limit of quantification (LOQ).
enum class BelowLimitRule {
    half,     ///< LOQ/2
    limit,    ///< LOQ
    exclude,  ///< the sample counts as missing
};

/// Adjustment of p over the foods compared within one analyte and one measure
/// (core/compare/multiplicity_words.h).
enum class Multiplicity { none, holm, hochberg, benjaminiHochberg };

/// Treatment of index values beyond mean ± 2 SD of the subjects; they are flagged either way.
enum class IndexOutlierRule {
    none,           ///< flagged, kept
    twoSdOnce,      ///< flagged and left out, one pass
    twoSdRepeated,  ///< passes are repeated until none is left outside
};

/// Every choice that the analysis depends on. Two runs with the same study and the same plan give the
/// same bytes. Defaults are those of the design; `validatePlan` (core/findings/validate_plan.h) checks one.
struct Plan {
    double windowEndMin = 120.0;  ///< min after the first bite; the window is [0, windowEndMin]
    BaselineRule baseline = BaselineRule::fastingMean;
    MissingInteriorRule missingInterior = MissingInteriorRule::span;
    TimeBasis timeBasis = TimeBasis::actual;
    double timeToleranceMin = 2.0;  ///< largest actual − nominal, either way, before a draw is reported
    BelowLimitRule belowLimit = BelowLimitRule::half;
    double duplicateCvLimitPercent = 15.0;  ///< CV of the determinations of one draw before it is reported
    bool wholeBloodToPlasma = false;        ///< glucose in whole blood × 1.11 (IFCC), on demand only
    std::optional<double> washoutDays;  ///< fewest days between two visits of a subject; absent: unchecked
    std::string measure = "area_positive_incremental";  ///< key of the main measure (core/curve/measures.h)
    std::vector<std::string> secondaryMeasures;         ///< compared as well, each its own family
    std::string comparator;  ///< food id; empty: the only food of role control, else of role reference
    double alpha = 0.05;     ///< two-sided level; intervals have confidence 1 − alpha
    Multiplicity multiplicity = Multiplicity::holm;
    bool index = true;
    IndexOutlierRule indexOutlierRule = IndexOutlierRule::none;
    std::int64_t resamples = 10000;  ///< of the bootstrap and of a random permutation test; 0: neither is run
    std::uint64_t seed = 1;          ///< of their random numbers
    InferencePlan inference;
    IndexPlan indexPlan;
    CurvePlan curvePlan;

    bool operator==(const Plan&) const = default;
};

/// The measures that are compared: the main one, then the secondary ones.
std::vector<std::string> comparedMeasures(const Plan& plan);

/// The words of study.json: "fasting-mean", "time-zero"; "span", "exclude"; "none", "holm",
/// "hochberg", "benjamini-hochberg"; "none", "2sd-once", "2sd-repeated"; "actual", "nominal"; "loq/2", "loq",
/// "exclude".
std::string_view wordFor(BaselineRule rule);
std::string_view wordFor(MissingInteriorRule rule);
std::string_view wordFor(Multiplicity rule);
std::string_view wordFor(IndexOutlierRule rule);
std::string_view wordFor(TimeBasis rule);
std::string_view wordFor(BelowLimitRule rule);

/// The reverse; nothing where the word is not one of them.
std::optional<BaselineRule> baselineRuleFrom(std::string_view word);
std::optional<MissingInteriorRule> missingInteriorRuleFrom(std::string_view word);
std::optional<Multiplicity> multiplicityFrom(std::string_view word);
std::optional<IndexOutlierRule> indexOutlierRuleFrom(std::string_view word);
std::optional<TimeBasis> timeBasisFrom(std::string_view word);
std::optional<BelowLimitRule> belowLimitRuleFrom(std::string_view word);

}  // namespace aftercurve
