#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "core/base/problem.h"
#include "core/planning/spread.h"

namespace aftercurve {

// How many subjects a study needs in which every subject eats every food. Each question is a value; the
// functions below answer it in each direction. A difference and its SD have to be in one unit, whichever.

/// Is there a difference between two foods? Two-sided t test. With se and df as errorOfDifference gives them
/// and delta = difference/(SD·se): power = P(T > c) + P(T < −c), T noncentral t(df, delta), c = t(1 −
/// alpha/(2·comparisons), df). `comparisons` is the number of pairs of foods that share the level
/// (Bonferroni); each pair is tested by its own differences.
struct DifferenceQuestion {
    double difference = 0.0;  ///< true difference, either sign
    Spread spread;            ///< no CV
    TwoFoodDesign design = TwoFoodDesign::paired;
    double alpha = 0.05;
    std::size_t comparisons = 1;
};

/// Do k foods differ at all? F test within subjects. lambda = n·Σ(mean_i − mean of the means)²/SD within²,
/// df1 = k − 1, df2 = (k − 1)(n − 1), with the period in the model (balanced squares) (k − 1)(n − 2); power =
/// P(F > f(1 − alpha)), F noncentral F(df1, df2, lambda).
struct FoodsQuestion {
    std::vector<double> means;  ///< true means of the foods; only their differences count
    double sdWithin = 0.0;
    bool periodInModel = false;
    double alpha = 0.05;
};

/// Means of k foods of which two lie `range` apart and the others halfway between: the pattern with the least
/// power for a given range. Σ(mean_i − mean)² = range²/2. k from 2.
std::vector<double> leastFavourableMeans(std::size_t k, double range);

enum class PlanningScale {
    difference,  ///< food − comparator, in the unit of the measure
    ratio,       ///< food/comparator, tested on natural logarithms
};

/// Are two foods equivalent? Two one-sided t tests, each at alpha: both limits are rejected where the 1 −
/// 2·alpha interval lies between them. With S the sample SD over its true value: power = E[Φ((high −
/// expected)/(SD·se) − c·S) − Φ((low − expected)/(SD·se) + c·S)] over S < (high − low)/(2·c·SD·se), c = t(1 −
/// alpha, df): exact, by numerical integration over S (Owen 1965, Biometrika 52:437 gives the same
/// probability as a Q function; from memory). On the ratio scale all three are logarithms.
struct EquivalenceQuestion {
    PlanningScale scale = PlanningScale::difference;
    double low = 0.0;
    double high = 0.0;
    double expected = 0.0;  ///< true difference or ratio
    Spread spread;          ///< on the ratio scale a CV, or SDs of natural logarithms
    TwoFoodDesign design = TwoFoodDesign::paired;
    double alpha = 0.05;
};

/// Is a food not worse than another by more than the limit? One-sided t test at alpha. power = P(T > t(1 −
/// alpha, df)), delta = |expected − limit|/(SD·se).
struct NonInferiorityQuestion {
    PlanningScale scale = PlanningScale::difference;
    double limit = 0.0;     ///< difference or ratio that is just too bad
    double expected = 0.0;  ///< true difference or ratio
    bool lowerIsBetter = true;
    Spread spread;
    TwoFoodDesign design = TwoFoodDesign::paired;
    double alpha = 0.025;
};

/// How exact is the mean difference of two foods? Half-width of its interval of confidence 1 − alpha: t(1 −
/// alpha/2, df)·SD·se. Without `assurance` the SD is taken as it is; with it the n is that for which the
/// half-width of the study's own SD stays at or below the target with this probability: P(C ≤
/// df·(halfWidth/(t·SD·se))²), C chi-square with df.
struct IntervalQuestion {
    double halfWidth = 0.0;
    Spread spread;  ///< no CV
    TwoFoodDesign design = TwoFoodDesign::paired;
    double alpha = 0.05;
    std::optional<double> assurance;
};

/// How exact is the mean index of a food? As IntervalQuestion with n − 1 degrees of freedom and the SD of the
/// index between subjects.
struct IndexQuestion {
    double halfWidth = 0.0;  ///< in index units
    double sd = 0.0;         ///< SD of the subjects' index values
    double alpha = 0.05;
    std::optional<double> assurance;
};

/// SD of the index from its CV in % and its expected mean.
double sdOfIndex(double cvPercent, double mean);

using PlanningQuestion = std::variant<DifferenceQuestion, FoodsQuestion, EquivalenceQuestion,
                                      NonInferiorityQuestion, IntervalQuestion, IndexQuestion>;

/// The most subjects that are looked at, and the bounds of what is taken.
constexpr std::size_t mostSubjects = 100'000;
constexpr double leastAlpha = 1e-10;
constexpr double mostAlpha = 0.5;
constexpr double largestInput = 1e300;  ///< and its inverse the smallest SD
constexpr std::size_t mostFoods = 100;

/// Empty where the question can be asked; else what is wrong with it: a number that is not finite or out of
/// bounds, an SD of 0, a difference of 0, limits in the wrong order, a true value outside them.
std::vector<Problem> validate(const PlanningQuestion& question);

/// True for an interval without assurance: its curve is a half-width that falls, not a probability that
/// rises.
bool asksHalfWidth(const PlanningQuestion& question);

/// What has to be reached: the half-width (asksHalfWidth), the question's own assurance, else `power`.
double targetOf(const PlanningQuestion& question, double power);

/// The question's alpha.
double levelOf(const PlanningQuestion& question);

/// Fewest subjects that the test can be made with.
std::size_t leastSubjects(const PlanningQuestion& question);

/// Power (assurance; for asksHalfWidth the half-width) with n subjects who complete the study.
struct PowerAnswer {
    std::optional<double> value;
    std::string absentBecause;
};
PowerAnswer powerWith(const PlanningQuestion& question, std::size_t n);

/// What the number of subjects has to meet.
struct SizeRequest {
    double power = 0.8;          ///< not used for intervals: they carry their own target
    double dropout = 0.0;        ///< share of the subjects enrolled who do not complete; 0 ≤ dropout < 1
    std::size_t multipleOf = 1;  ///< the number enrolled is rounded up to a whole number of these (a block)
};
std::vector<Problem> validate(const SizeRequest& request);

struct SizeAnswer {
    std::optional<std::size_t> n;         ///< smallest that reaches the target: who complete
    std::optional<double> power;          ///< powerWith(n), for asksHalfWidth the half-width
    std::optional<std::size_t> enrolled;  ///< ⌈n/(1 − dropout)⌉, rounded up to multipleOf
    std::string absentBecause;
};
/// The question and the request must be valid; an invalid one is absent with its first problem. The target
/// power must lie between alpha and 1.
SizeAnswer subjectsFor(const PlanningQuestion& question, const SizeRequest& request);

/// What can be found with n subjects and that power: the smallest absolute difference; the smallest range of
/// the foods' means in the question's own pattern; the smallest margin (|limit − expected| nearest to it, on
/// the ratio scale as a factor from 1; equivalence: limits symmetric about no difference); the half-width
/// that is reached.
struct DetectableAnswer {
    std::optional<double> value;
    std::string absentBecause;
};
/// The effect that the question holds is not used (and may be 0).
DetectableAnswer detectableWith(const PlanningQuestion& question, std::size_t n, double power);

struct PowerPoint {
    std::size_t n = 0;
    double value = 0.0;

    bool operator==(const PowerPoint&) const = default;
};

/// n against power, ready to draw.
struct PowerCurve {
    std::vector<PowerPoint> points;  ///< by n, at most 120
    double target = 0.0;             ///< power, assurance or half-width asked for
    std::optional<std::size_t> n;    ///< the answer
    bool halfWidth = false;          ///< the values are half-widths
    bool assurance = false;          ///< the values are probabilities of the half-width
    std::string unit;                ///< of half-widths
    std::string absentBecause;       ///< no points
};
/// From the fewest subjects to twice the answer (without one, to 100).
PowerCurve powerCurve(const PlanningQuestion& question, const SizeRequest& request, const std::string& unit);

}  // namespace aftercurve
