#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/study/inference_plan.h"

namespace aftercurve {

/// The published rules that the index can be held against (core/index/index_standards.h).
enum class IndexStandard { iso26642, fao1998, wst652, as4694 };

/// Choices about the index and about how foods are matched.
struct IndexPlan {
    IndexStandard standard = IndexStandard::iso26642;  ///< whose classes and rounding are used
    /// Index × factor stands on the glucose scale: 1 where the reference food is glucose itself; about 0.70
    /// where it is white bread.
    double referenceFactor = 1.0;
    std::string referenceFactorSource;    ///< where the factor is from; may be empty
    double matchTolerancePercent = 10.0;  ///< largest difference in available carbohydrate between two
                                          ///< portions that still count as matched
    std::optional<double> fibreTargetG;  ///< intake a day that the servings are counted for

    bool operator==(const IndexPlan&) const = default;
};

/// A concentration above which the time is counted.
struct LevelLimit {
    std::string analyte;
    double level = 0.0;  ///< in the analyte's unit

    bool operator==(const LevelLimit&) const = default;
};

/// Choices about measures of parts of the curve.
struct CurvePlan {
    std::vector<double> subWindowsMin{
        60.0};                       ///< limits inside the window; ascending. Parts: 0 to the first, ...
    std::vector<LevelLimit> limits;  ///< at most one an analyte

    bool operator==(const CurvePlan&) const = default;
};

/// The limit of an analyte; nothing where the plan names none.
std::optional<double> limitOf(const CurvePlan& plan, std::string_view analyte);

/// Ends of the parts of a window: 0, the limits that lie inside, and the window's end.
std::vector<double> partEnds(const CurvePlan& plan, double windowEndMin);

/// The words of study.json: "iso-26642", "fao-1998", "wst-652", "as-4694".
std::string_view wordFor(IndexStandard standard);
std::optional<IndexStandard> indexStandardFrom(std::string_view word);

/// What is wrong with them by themselves; empty: nothing.
std::vector<PlanFault> validate(const IndexPlan& plan);
std::vector<PlanFault> validate(const CurvePlan& plan);

}  // namespace aftercurve
