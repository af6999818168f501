#include "core/index/food_index.h"

#include <cassert>
#include <cmath>

#include "core/compare/descriptive.h"
#include "core/compare/paired_t.h"
#include "core/compare/scaled.h"

namespace aftercurve {

namespace {

SubjectIndex subjectIndex(const IndexInput& input) {
    SubjectIndex result;
    result.subject = input.subject;
    if (input.test.empty()) {
        result.absentBecause = "no measure of the food";
        return result;
    }
    if (input.reference.empty()) {
        result.absentBecause = "no measure of the reference food";
        return result;
    }
    const auto test = mean(input.test);
    const auto reference = mean(input.reference);
    if (!test || !reference) {
        result.absentBecause = "a measure is not a finite number";
        return result;
    }
    if (*reference <= 0.0) {
        result.absentBecause = "the mean of the reference food is not positive";
        return result;
    }
    const double value = 100.0 * (*test / *reference);
    if (!std::isfinite(value)) {
        result.absentBecause = "the mean of the reference food is too small to divide by";
        return result;
    }
    result.value = value;
    result.testMean = test;
    result.referenceMean = reference;
    return result;
}

std::optional<double> referenceCvPercent(const std::vector<IndexInput>& inputs) {
    std::vector<double> cv;
    for (const IndexInput& input : inputs) {
        const auto centre = mean(input.reference);
        const auto sd = sampleSd(input.reference);
        if (!centre || !sd || *centre <= 0.0) {
            continue;
        }
        if (const double percent = 100.0 * (*sd / *centre); std::isfinite(percent)) {
            cv.push_back(percent);
        }
    }
    return mean(cv);
}

std::vector<double> keptValues(const std::vector<SubjectIndex>& subjects) {
    std::vector<double> value;
    for (const SubjectIndex& subject : subjects) {
        if (subject.value && !subject.leftOut) {
            value.push_back(*subject.value);
        }
    }
    return value;
}

/// One pass over the values still kept; how many it found outside.
std::size_t flagOutside(std::vector<SubjectIndex>& subjects, bool leaveOut) {
    const Differences kept = asDifferences(keptValues(subjects));
    const auto centre = mean(kept.value);
    const auto sd = sampleSd(kept.value);
    // Rounding alone must not make an outlier of one of several equal values.
    if (!centre || !sd || allEqual(kept)) {
        return 0;
    }
    std::size_t found = 0;
    for (SubjectIndex& subject : subjects) {
        if (subject.value && !subject.leftOut && std::abs(*subject.value - *centre) > 2.0 * *sd) {
            subject.outlier = true;
            subject.leftOut = leaveOut;
            ++found;
        }
    }
    return found;
}

/// Number of passes that left someone out.
std::size_t flagOutliers(std::vector<SubjectIndex>& subjects, IndexOutlierRule rule) {
    if (rule == IndexOutlierRule::none) {
        flagOutside(subjects, false);
        return 0;
    }
    std::size_t passes = 0;
    while (flagOutside(subjects, true) > 0) {
        ++passes;
        if (rule == IndexOutlierRule::twoSdOnce) {
            break;
        }
    }
    return passes;
}

}  // namespace

FoodIndex foodIndex(const std::vector<IndexInput>& inputs, double alpha, IndexOutlierRule rule) {
    assert(alpha > 0.0 && alpha < 1.0);
    FoodIndex result;
    for (const IndexInput& input : inputs) {
        result.subjects.push_back(subjectIndex(input));
    }
    result.referenceCvPercent = referenceCvPercent(inputs);
    result.outlierPasses = flagOutliers(result.subjects, rule);

    // The interval of a mean is that of the paired t, with the values in place of the differences.
    const PairedT summary = pairedT(asDifferences(keptValues(result.subjects)), alpha);
    result.n = summary.n;
    result.mean = summary.meanDifference;
    result.sd = summary.sdDifference;
    result.sem = summary.semDifference;
    result.ciLow = summary.ciLow;
    result.ciHigh = summary.ciHigh;
    if (result.n == 0) {
        result.absentBecause = "no subject has an index value";
    } else if (result.n == 1) {
        result.absentBecause = "one subject: no SD, SEM or interval";
    } else if (result.sd == 0.0) {
        result.absentBecause = "all subjects have the same value: no interval";
    } else {
        result.absentBecause = summary.absentBecause;
    }
    return result;
}

std::string glycaemicClass(double index) {
    if (!std::isfinite(index)) {
        return {};
    }
    const double whole = std::round(index);  // half away from zero
    if (whole <= 55.0) {
        return "low";
    }
    return whole <= 70.0 ? "medium" : "high";
}

}  // namespace aftercurve
