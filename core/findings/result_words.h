#pragma once

#include <span>
#include <string>

#include "core/findings/findings.h"
#include "core/study/study.h"

namespace aftercurve {

/// What a p at or above alpha does not show, with a blank before it: " At the 0.05 level this does not tell
/// ...".
std::string notToldApart(double alpha);

/// Mean, SD and n of one measure after each food, of summaries of one analyte and measure. Empty where none
/// has a mean.
std::string summarySentence(const Study& study, std::span<const FoodSummary> summaries);

/// The same pairs by other methods: signed rank, Hodges–Lehmann, bootstrap, permutation, ratio. Empty where
/// none of them has a number. `companion`: null where there is none for the comparison.
std::string companionSentence(const Plan& plan, const ComparisonFinding& comparison,
                              const CompanionFinding* companion);

/// Factors of a mixed model with F and p, or why there is no model.
std::string modelSentence(const ModelFinding& model);

/// One difference of a mixed model, position in ModelFinding::fit.differences.
std::string modelDifferenceSentence(const Study& study, const Plan& plan, const ModelFinding& model,
                                    std::size_t difference);

/// Food, period and carry-over of a two-period crossover.
std::string crossoverSentence(const Study& study, const Plan& plan, const CrossoverFinding& finding);

/// Food, time and food by time of the model of a time course, or why there is none.
std::string timeCourseSentence(const TimeCourseFinding& finding);

/// At which times one food and the comparator are told apart, with the largest difference. `food`: position
/// in TimeCourseFinding::foods. Empty where it has no difference.
std::string timesSentence(const Study& study, const Plan& plan, const TimeCourseFinding& finding,
                          std::size_t food);

/// Friedman's test over all foods, or why there is none.
std::string ranksSentence(const RankFinding& finding);

/// The same comparison or index with no exclusion applied, beside the one with them.
std::string withoutExclusionsSentence(const Study& study, const ComparisonFinding& with,
                                      const ComparisonFinding& without);
std::string withoutExclusionsSentence(const Study& study, const IndexFinding& with,
                                      const IndexFinding& without);

/// The same result of the laboratory with no exclusion applied, beside the one with them.
std::string withoutExclusionsSentence(const LaboratoryEffect& effect);

/// One stage of the flow where someone did not come or does not count; empty where all did.
std::string flowSentence(const Study& study, const FlowStage& stage);

}  // namespace aftercurve
