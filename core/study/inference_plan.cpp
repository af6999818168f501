#include "core/study/inference_plan.h"

#include <cmath>
#include <set>

#include "core/base/number_text.h"
#include "core/base/words.h"

namespace aftercurve {

namespace {

constexpr double longestWindowMin = 2880.0;
constexpr std::size_t mostWindows = 12;

constexpr Words<ModelDf, 2> dfWords{
    {{ModelDf::satterthwaite, "satterthwaite"}, {ModelDf::kenwardRoger, "kenward-roger"}}};
constexpr Words<ModelMultiplicity, 7> modelWords{
    {{ModelMultiplicity::asComparisons, "as-comparisons"},
     {ModelMultiplicity::none, "none"},
     {ModelMultiplicity::holm, "holm"},
     {ModelMultiplicity::hochberg, "hochberg"},
     {ModelMultiplicity::benjaminiHochberg, "benjamini-hochberg"},
     {ModelMultiplicity::tukey, "tukey"},
     {ModelMultiplicity::dunnett, "dunnett"}}};
constexpr Words<DifferenceFamily, 2> familyWords{
    {{DifferenceFamily::comparator, "comparator"}, {DifferenceFamily::allPairs, "all-pairs"}}};
constexpr Words<TimeCourseModel, 4> covarianceWords{{{TimeCourseModel::none, "none"},
                                                     {TimeCourseModel::independent, "independent"},
                                                     {TimeCourseModel::ar1, "ar1"},
                                                     {TimeCourseModel::unstructured, "unstructured"}}};
constexpr Words<CurveValue, 2> valueWords{
    {{CurveValue::increment, "increment"}, {CurveValue::concentration, "concentration"}}};
constexpr Words<BetterValue, 2> betterWords{
    {{BetterValue::lower, "lower"}, {BetterValue::higher, "higher"}}};

void checkMargin(std::vector<PlanFault>& faults, const char* key, const std::optional<double>& margin,
                 double above, double below, const char* wanted) {
    if (margin && !(*margin > above && *margin < below)) {
        faults.push_back({key, plainNumber(*margin) + " is no margin here", wanted});
    }
}

void checkMargins(std::vector<PlanFault>& faults, const MarginPlan& margins) {
    constexpr double most = 1e9;
    checkMargin(faults, "equivalence_difference_low", margins.differenceLow, -most, 0.0,
                "give a number below 0, in the unit of the measure");
    checkMargin(faults, "equivalence_difference_high", margins.differenceHigh, 0.0, most,
                "give a number above 0, in the unit of the measure");
    checkMargin(faults, "equivalence_ratio_low", margins.ratioLow, 0.0, 1.0, "give a ratio between 0 and 1");
    checkMargin(faults, "equivalence_ratio_high", margins.ratioHigh, 1.0, most, "give a ratio above 1");
    checkMargin(faults, "non_inferiority_margin", margins.nonInferiority, 0.0, most,
                "give a number above 0, in the unit of the measure");
    const auto pair = [&faults](const char* key, const auto& low, const auto& high) {
        if (low.has_value() != high.has_value()) {
            faults.push_back({key, "one margin of two is given", "give both, or neither"});
        }
    };
    pair("equivalence_difference_low", margins.differenceLow, margins.differenceHigh);
    pair("equivalence_ratio_low", margins.ratioLow, margins.ratioHigh);
}

}  // namespace

std::string_view wordFor(ModelDf rule) {
    return wordIn(dfWords, rule);
}
std::string_view wordFor(ModelMultiplicity rule) {
    return wordIn(modelWords, rule);
}
std::string_view wordFor(DifferenceFamily rule) {
    return wordIn(familyWords, rule);
}
std::string_view wordFor(TimeCourseModel rule) {
    return wordIn(covarianceWords, rule);
}
std::string_view wordFor(CurveValue rule) {
    return wordIn(valueWords, rule);
}
std::string_view wordFor(BetterValue rule) {
    return wordIn(betterWords, rule);
}

std::optional<ModelDf> modelDfFrom(std::string_view word) {
    return valueIn(dfWords, word);
}
std::optional<ModelMultiplicity> modelMultiplicityFrom(std::string_view word) {
    return valueIn(modelWords, word);
}
std::optional<DifferenceFamily> differenceFamilyFrom(std::string_view word) {
    return valueIn(familyWords, word);
}
std::optional<TimeCourseModel> timeCourseModelFrom(std::string_view word) {
    return valueIn(covarianceWords, word);
}
std::optional<CurveValue> curveValueFrom(std::string_view word) {
    return valueIn(valueWords, word);
}
std::optional<BetterValue> betterValueFrom(std::string_view word) {
    return valueIn(betterWords, word);
}

std::vector<PlanFault> validate(const InferencePlan& plan) {
    std::vector<PlanFault> faults;
    if (!(plan.trim >= 0.0 && plan.trim < 0.5)) {
        faults.push_back({"trim", plainNumber(plan.trim) + " is no share to trim",
                          "give a number from 0 to below 0.5, usually 0.2"});
    }
    checkMargins(faults, plan.margins);
    if (plan.sensitivityWindowsMin.size() > mostWindows) {
        faults.push_back({"sensitivity_windows_min", "more than 12 windows", "give up to 12"});
    }
    std::set<double> seen;
    for (const double window : plan.sensitivityWindowsMin) {
        if (!(window > 0.0 && window <= longestWindowMin) || !seen.insert(window).second) {
            faults.push_back({"sensitivity_windows_min",
                              plainNumber(window) + " is no end of a window, or stands twice",
                              "give minutes above 0, up to 2880, each once"});
            break;
        }
    }
    return faults;
}

}  // namespace aftercurve
