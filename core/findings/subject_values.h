#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/findings/findings.h"

namespace aftercurve {

/// One subject's value of one measure for one food: the mean over the visits that count and have the measure.
struct SubjectValue {
    std::optional<double> mean;
    std::vector<double> visits;  ///< the values that went into the mean
    std::size_t without = 0;     ///< visits that count but lack this measure
    std::string absentBecause;
};

/// The values of each subject of the study, in its order, for one analyte, food and measure (index in
/// measureList()). Replicates are averaged here, at the measure, never at the curve.
std::vector<SubjectValue> subjectValues(const Study& study, std::span<const CurveFinding> curves,
                                        const std::string& analyte, const std::string& food,
                                        std::size_t measure);

}  // namespace aftercurve
