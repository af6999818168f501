#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace aftercurve {

/// How the degrees of freedom of the mixed model are found (core/compare/mixed_model.h).
enum class ModelDf { satterthwaite, kenwardRoger };

/// Adjustment of the p of the mixed model's differences.
enum class ModelMultiplicity {
    asComparisons,  ///< the rule of the paired comparisons
    none,
    holm,
    hochberg,
    benjaminiHochberg,
    tukey,    ///< studentized range; all pairs
    dunnett,  ///< many to one; against the comparator
};

/// Which differences of the mixed model are one family.
enum class DifferenceFamily { comparator, allPairs };

/// Covariance of the values of one curve in the time course model; none: no such model.
enum class TimeCourseModel { none, independent, ar1, unstructured };

/// What the time course model reads at each time.
enum class CurveValue {
    increment,      ///< value − the curve's baseline
    concentration,  ///< the value
};

/// Which way a measure gets better, for the margin that a food must not exceed.
enum class BetterValue { lower, higher };

/// MarginPlan within which two foods count as equivalent, for the main measure of one analyte. They come from
/// the protocol: what is too small to matter, said before the values are seen.
struct MarginPlan {
    std::string analyte;                   ///< id; empty: the first of the study
    std::optional<double> differenceLow;   ///< food − comparator, unit of the main measure; below 0
    std::optional<double> differenceHigh;  ///< above 0
    std::optional<double> ratioLow;        ///< food / comparator; in (0, 1)
    std::optional<double> ratioHigh;       ///< above 1
    std::optional<double> nonInferiority;  ///< largest change for the worse, unit of the measure; above 0
    BetterValue better = BetterValue::lower;

    bool operator==(const MarginPlan&) const = default;
};

/// Choices of the statistics beyond the paired comparison.
struct InferencePlan {
    ModelDf modelDf = ModelDf::satterthwaite;
    ModelMultiplicity modelMultiplicity = ModelMultiplicity::asComparisons;
    DifferenceFamily modelFamily = DifferenceFamily::comparator;  ///< tukey and dunnett bring their own
    bool carryOver = false;                             ///< first-order carry-over in the mixed model
    TimeCourseModel timeCourse = TimeCourseModel::ar1;
    CurveValue timeCourseValue = CurveValue::increment;
    double trim = 0.2;  ///< share left off each end by the trimmed mean; in [0, 0.5)
    MarginPlan margins;
    bool sensitivity = true;                                        ///< the grid of other choices
    std::vector<double> sensitivityWindowsMin{60.0, 120.0, 180.0};  ///< tried beside the plan's own window

    bool operator==(const InferencePlan&) const = default;
};

/// The words of study.json: "satterthwaite", "kenward-roger"; "as-comparisons", "none", "holm", "hochberg",
/// "benjamini-hochberg", "tukey", "dunnett"; "comparator", "all-pairs"; "none", "independent", "ar1",
/// "unstructured"; "increment", "concentration"; "lower", "higher".
std::string_view wordFor(ModelDf rule);
std::string_view wordFor(ModelMultiplicity rule);
std::string_view wordFor(DifferenceFamily rule);
std::string_view wordFor(TimeCourseModel rule);
std::string_view wordFor(CurveValue rule);
std::string_view wordFor(BetterValue rule);

/// The reverse; nothing where the word is not one of them.
std::optional<ModelDf> modelDfFrom(std::string_view word);
std::optional<ModelMultiplicity> modelMultiplicityFrom(std::string_view word);
std::optional<DifferenceFamily> differenceFamilyFrom(std::string_view word);
std::optional<TimeCourseModel> timeCourseModelFrom(std::string_view word);
std::optional<CurveValue> curveValueFrom(std::string_view word);
std::optional<BetterValue> betterValueFrom(std::string_view word);

/// What is wrong with them by themselves: the plan's key, what, and the remedy. Empty: nothing.
struct PlanFault {
    std::string key;
    std::string what;
    std::string remedy;
};
std::vector<PlanFault> validate(const InferencePlan& plan);

}  // namespace aftercurve
