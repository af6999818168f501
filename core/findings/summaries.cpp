#include "core/findings/summaries.h"

#include <algorithm>
#include <cmath>

#include "core/compare/descriptive.h"
#include "core/curve/measures.h"
#include "core/findings/subject_values.h"

namespace aftercurve {

namespace {

FoodSummary summaryOf(std::span<const double> values) {
    FoodSummary summary;
    summary.n = values.size();
    if (values.empty()) {
        return summary;
    }
    summary.mean = mean(values);
    summary.sd = sampleSd(values);
    if (summary.sd) {
        summary.sem = *summary.sd / std::sqrt(static_cast<double>(values.size()));
    }
    summary.median = median(values);
    summary.lowerQuartile = quantile7(values, 0.25);
    summary.upperQuartile = quantile7(values, 0.75);
    summary.minimum = *std::min_element(values.begin(), values.end());
    summary.maximum = *std::max_element(values.begin(), values.end());
    return summary;
}

}  // namespace

std::vector<FoodSummary> foodSummaries(const Study& study, std::span<const CurveFinding> curves) {
    std::vector<FoodSummary> summaries;
    const auto measures = measureList();
    for (const Analyte& analyte : study.analytes) {
        for (const Food& food : study.foods) {
            for (std::size_t m = 0; m < measures.size(); ++m) {
                std::vector<double> values;
                for (const SubjectValue& value : subjectValues(study, curves, analyte.id, food.id, m)) {
                    if (value.mean) {
                        values.push_back(*value.mean);
                    }
                }
                FoodSummary summary = summaryOf(values);
                summary.food = food.id;
                summary.analyte = analyte.id;
                summary.measure = measures[m].key;
                summaries.push_back(std::move(summary));
            }
        }
    }
    return summaries;
}

}  // namespace aftercurve
