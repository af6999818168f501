#include "core/findings/subject_values.h"

#include <cmath>
#include <numeric>
#include <string_view>
#include <unordered_map>

#include "core/curve/measures.h"

namespace aftercurve {

std::vector<SubjectValue> subjectValues(const Study& study, std::span<const CurveFinding> curves,
                                        const std::string& analyte, const std::string& food,
                                        std::size_t measure) {
    std::unordered_map<std::string_view, std::size_t> position;
    for (std::size_t s = 0; s < study.subjects.size(); ++s) {
        position.emplace(study.subjects[s].id, s);
    }
    std::vector<SubjectValue> values(study.subjects.size());
    for (SubjectValue& value : values) {
        value.absentBecause = "no visit with " + food;
    }
    for (const CurveFinding& curve : curves) {
        if (curve.analyte != analyte || curve.food != food) {
            continue;
        }
        SubjectValue& value = values[position.at(curve.subject)];
        if (curve.excluded) {
            value.absentBecause = food + " excluded: " + curve.excludedBecause;
        } else if (!curve.notEstimable.empty()) {
            value.absentBecause = food + " not estimable: " + curve.notEstimable;
        } else if (curve.measures[measure]) {
            value.visits.push_back(*curve.measures[measure]);
        } else {
            ++value.without;
            value.absentBecause =
                food + " has no " + std::string{measureList()[measure].label} + " in the window";
        }
    }
    for (SubjectValue& value : values) {
        if (!value.visits.empty()) {
            value.mean = std::accumulate(value.visits.begin(), value.visits.end(), 0.0) /
                         static_cast<double>(value.visits.size());
            value.absentBecause.clear();
            if (!std::isfinite(*value.mean)) {
                value.mean.reset();
                value.absentBecause = "mean over the visits of " + food + " is too large to be represented";
            }
        }
    }
    return values;
}

}  // namespace aftercurve
