#include "core/study/index_plan.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "core/base/number_text.h"
#include "core/base/words.h"

namespace aftercurve {

namespace {

constexpr double longestWindowMin = 2880.0;
constexpr std::size_t mostLimits = 24;
constexpr double largestFactor = 10.0;
constexpr double largestFibreTargetG = 1000.0;

constexpr Words<IndexStandard, 4> standardWords{{{IndexStandard::iso26642, "iso-26642"},
                                                 {IndexStandard::fao1998, "fao-1998"},
                                                 {IndexStandard::wst652, "wst-652"},
                                                 {IndexStandard::as4694, "as-4694"}}};

}  // namespace

std::optional<double> limitOf(const CurvePlan& plan, std::string_view analyte) {
    const auto found = std::find_if(plan.limits.begin(), plan.limits.end(),
                                    [&](const LevelLimit& limit) { return limit.analyte == analyte; });
    return found == plan.limits.end() ? std::nullopt : std::optional{found->level};
}

std::vector<double> partEnds(const CurvePlan& plan, double windowEndMin) {
    std::vector<double> ends{0.0};
    for (const double limit : plan.subWindowsMin) {
        if (limit > ends.back() && limit < windowEndMin) {
            ends.push_back(limit);
        }
    }
    ends.push_back(windowEndMin);
    return ends;
}

std::string_view wordFor(IndexStandard standard) {
    return wordIn(standardWords, standard);
}

std::optional<IndexStandard> indexStandardFrom(std::string_view word) {
    return valueIn(standardWords, word);
}

std::vector<PlanFault> validate(const IndexPlan& plan) {
    std::vector<PlanFault> faults;
    if (!(plan.referenceFactor > 0.0 && plan.referenceFactor <= largestFactor)) {
        faults.push_back({"reference_factor",
                          plainNumber(plan.referenceFactor) + " is no factor to the glucose scale",
                          "give 1 for glucose, about 0.7 for white bread"});
    }
    if (!(plan.matchTolerancePercent >= 0.0 && plan.matchTolerancePercent <= 100.0)) {
        faults.push_back({"match_tolerance_percent",
                          plainNumber(plan.matchTolerancePercent) + " is no tolerance",
                          "give percent from 0 to 100"});
    }
    if (plan.fibreTargetG && !(*plan.fibreTargetG > 0.0 && *plan.fibreTargetG <= largestFibreTargetG)) {
        faults.push_back({"fibre_target_g", plainNumber(*plan.fibreTargetG) + " is no intake of fibre",
                          "give grams a day above 0, up to 1000"});
    }
    return faults;
}

std::vector<PlanFault> validate(const CurvePlan& plan) {
    std::vector<PlanFault> faults;
    double before = 0.0;
    if (plan.subWindowsMin.size() > mostLimits) {
        faults.push_back({"sub_windows_min", "more than 24 limits", "give up to 24"});
    }
    for (const double limit : plan.subWindowsMin) {
        if (!(limit > before && limit < longestWindowMin)) {
            faults.push_back({"sub_windows_min",
                              plainNumber(limit) + " is no limit of a part, or not above the one before",
                              "give minutes above 0, below 2880, ascending"});
            break;
        }
        before = limit;
    }
    std::set<std::string> seen;
    for (const LevelLimit& limit : plan.limits) {
        if (!(limit.level > 0.0 && std::isfinite(limit.level)) || !seen.insert(limit.analyte).second) {
            faults.push_back({"limits",
                              plainNumber(limit.level) + " is no limit, or the analyte stands twice",
                              "give one concentration above 0 an analyte"});
            break;
        }
    }
    return faults;
}

}  // namespace aftercurve
