#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "core/study/index_plan.h"
#include "core/study/plan.h"

namespace aftercurve {

/// Whether a statement about a published rule was read in a text, or is recalled.
enum class RuleBasis { read, fromMemory };

/// "read", "from memory".
std::string_view wordFor(RuleBasis basis);

/// One thing that a rule asks, and where that was read. `source` is never empty; `clause` is where known.
template <class T>
struct RuleAsks {
    T value;
    std::string_view source;
    RuleBasis basis = RuleBasis::fromMemory;
    std::string_view clause = {};
};

/// A rule that says nothing of it, or of which nothing is known here.
template <class T>
using MayAsk = std::optional<RuleAsks<T>>;

struct ReferenceTestsAsked {
    std::size_t fewest = 0;
    std::optional<std::size_t> preferred;
};

struct PortionAsked {
    double carbohydrateG = 0.0;          ///< available carbohydrate of one portion
    std::optional<double> alternativeG;  ///< another amount that is admitted
    bool usual = false;                  ///< "usually"; others are not ruled out
};

struct BaselineAsked {
    BaselineRule rule = BaselineRule::fastingMean;
    std::size_t samples = 1;  ///< at or before 0
    std::string_view words;
};

struct WindowAsked {
    double endMin = 0.0;
    bool atLeast = false;  ///< a longer one is admitted
};

struct ReferenceFoodAsked {
    std::string_view words;
    double value = 100.0;     ///< what the reference food has by definition
    bool otherFoods = false;  ///< foods other than glucose are admitted
};

/// Low: value ≤ lowTo; medium: up to mediumTo, which belongs to it; high: above.
struct ClassLimitsAsked {
    bool wholeNumber = true;  ///< the index is rounded, half away from zero, before it is classed
    double lowTo = 55.0;
    double mediumTo = 70.0;
    std::string_view words;
};

/// What one published rule asks of a test of the glycaemic index. What it does not say, or what is not known
/// of it here, is absent. Amounts in g, times in min.
struct IndexStandardRules {
    IndexStandard standard = IndexStandard::iso26642;
    std::string_view title;     ///< "ISO 26642"
    std::string_view citation;  ///< in full
    MayAsk<std::size_t> fewestSubjects;
    MayAsk<std::string_view> healthCriteria;
    MayAsk<ReferenceTestsAsked> referenceTests;  ///< of each subject
    MayAsk<std::size_t> testTests;               ///< of each subject and food
    MayAsk<PortionAsked> portion;
    MayAsk<bool> equalCarbohydrate;      ///< food and reference food hold the same amount
    MayAsk<double> fewestCarbohydrateG;  ///< of a serving, for an index to make sense
    MayAsk<ReferenceFoodAsked> referenceFood;
    MayAsk<std::span<const double>> sampleTimes;
    MayAsk<BaselineAsked> baseline;
    MayAsk<WindowAsked> window;
    MayAsk<std::string_view> areaMeasure;  ///< key of the measure (core/curve/measures.h)
    MayAsk<double> referenceCvPercent;     ///< largest mean within-subject CV
    MayAsk<double> analyserCvPercent;      ///< the CV lies below it
    MayAsk<double> outlierSds;             ///< subjects beyond mean ± so many SD may be left out
    MayAsk<double> fastHours;              ///< fewest
    MayAsk<double> eatingMinutes;          ///< longest
    MayAsk<std::string_view> specimen;     ///< preferred: a word of its name
    MayAsk<std::string_view> rounding;
    MayAsk<ClassLimitsAsked> classes;
};

/// ISO 26642:2010, FAO/WHO 1998, WS/T 652-2019, AS 4694-2007, in the order of IndexStandard.
std::span<const IndexStandardRules> indexStandards();

const IndexStandardRules& rulesOf(IndexStandard standard);

/// Class of a glycaemic index by one of the rules: "low", "medium" or "high". ISO 26642: of the whole number,
/// low ≤ 55, medium 56 to 70, high > 70. AS 4694 (from memory): of the whole number, low ≤ 55, medium 56 to
/// 69, high ≥ 70. WS/T 652 (from memory): of the value itself, low ≤ 55, 55 < medium ≤ 70, high > 70. Whole
/// numbers are rounded half away from zero. Empty for FAO 1998, which has no classes, and for a value that is
/// not finite.
std::string indexClass(IndexStandard standard, double index);

/// The limits in words: "of the whole number: low to 55, medium 56 to 70, high above 70"; empty: no classes.
std::string_view indexClassWords(IndexStandard standard);

}  // namespace aftercurve
