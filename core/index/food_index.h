#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "core/study/plan.h"

namespace aftercurve {

/// What one subject brings to the index of one food: measures of the visits that count.
struct IndexInput {
    std::string subject;
    std::vector<double> test;       ///< one per visit of the food
    std::vector<double> reference;  ///< one per visit of the reference food
};

struct SubjectIndex {
    std::string subject;
    std::optional<double> value;          ///< 100 · mean(test) / mean(reference)
    std::optional<double> testMean;       ///< what `value` is made of; present where it is
    std::optional<double> referenceMean;  ///< likewise
    bool outlier = false;  ///< outside mean ± 2 SD of the subjects' values, in any pass of the rule
    bool leftOut = false;  ///< by the outlier rule
    std::string absentBecause;
};

/// Index of one food against a reference food (ISO 26642:2010; FAO 1998). Per subject: 100 · mean
/// measure(test visits) / mean measure(reference visits), the mean of the reference first (not the mean
/// of single ratios). Food value: arithmetic mean over subjects; SD with n − 1; SEM = SD/√n; interval
/// mean ± t(1 − alpha/2, n − 1)·SEM. reference CV: mean over subjects with at least two reference visits
/// of 100·SD/mean of those visits, in %. A subject without test or reference measure, or with a reference
/// mean that is not positive, has no value, with the reason. n = 0: no mean. n = 1: mean only. All values
/// equal: SD and SEM 0, no interval, none flagged. n and what follows it count the subjects kept by the
/// outlier rule; the reference CV is of all subjects, kept or not.
/// Outliers lie further than 2 SD from the mean. One pass looks at the values that are still kept; "once" is
/// one pass, "repeated" goes on until a pass finds none, "none" flags in one pass and keeps all. The rule
/// cannot eat up a study: of n values fewer than (n − 1)/4 lie outside (Σ(x − mean)² = (n − 1)·SD²), so that
/// five or fewer values never have an outlier and at least five stay in every pass.
struct FoodIndex {
    std::size_t n = 0;
    std::optional<double> mean;
    std::optional<double> sd;
    std::optional<double> sem;
    std::optional<double> ciLow;
    std::optional<double> ciHigh;
    std::optional<double> referenceCvPercent;
    std::size_t outlierPasses = 0;       ///< that left someone out
    std::vector<SubjectIndex> subjects;  ///< in the order given
    std::string absentBecause;
};

FoodIndex foodIndex(const std::vector<IndexInput>& inputs, double alpha, IndexOutlierRule rule);

/// Class of a glycaemic index by ISO 26642:2010: the value is rounded to a whole number (half away from
/// zero) first; low ≤ 55, medium 56–70, high > 70. Empty where it is not finite.
std::string glycaemicClass(double index);

}  // namespace aftercurve
