#include "core/findings/validate_plan.h"

#include <set>

#include "core/base/number_text.h"
#include "core/curve/measures.h"
#include "core/findings/index_findings.h"

namespace aftercurve {

namespace {

constexpr double longestWindowMin = 2880.0;
constexpr std::int64_t mostResamples = 10'000'000;

std::string foodIds(const Study& study) {
    std::string text;
    for (const Food& food : study.foods) {
        text += (text.empty() ? "" : ", ") + food.id;
    }
    return text;
}

std::string measureKeys() {
    std::string text;
    for (const Measure& measure : measureList()) {
        text += (text.empty() ? "" : ", ") + std::string{measure.key};
    }
    return text;
}

/// The id of the only food of that role; empty where there is none or more than one.
std::string onlyFoodOf(const Study& study, FoodRole role) {
    std::string id;
    for (const Food& food : study.foods) {
        if (food.role == role) {
            if (!id.empty()) {
                return {};
            }
            id = food.id;
        }
    }
    return id;
}

}  // namespace

std::vector<Problem> validatePlan(const Study& study, const Plan& plan) {
    std::vector<Problem> problems;
    const auto add = [&](Severity severity, const std::string& key, const std::string& what,
                         const std::string& remedy) {
        Problem p;
        p.severity = severity;
        p.file = "study.json";
        p.column = "plan." + key;
        p.what = "plan." + key + ": " + what;
        p.remedy = remedy;
        problems.push_back(std::move(p));
    };
    if (!(plan.windowEndMin > 0.0 && plan.windowEndMin <= longestWindowMin)) {
        add(Severity::error, "window_end_min", plainNumber(plan.windowEndMin) + " is no end of a window",
            "give minutes above 0, up to 2880");
    }
    if (!(plan.alpha > 0.0 && plan.alpha <= 0.5)) {
        add(Severity::error, "alpha", plainNumber(plan.alpha) + " is no level of a test",
            "give a number above 0, up to 0.5, usually 0.05");
    }
    if (!measureIndex(plan.measure)) {
        add(Severity::error, "measure", "'" + plan.measure + "' is no measure",
            "choose one of " + measureKeys());
    }
    std::set<std::string> seen{plan.measure};
    for (const std::string& measure : plan.secondaryMeasures) {
        if (!measureIndex(measure)) {
            add(Severity::error, "secondary_measures", "'" + measure + "' is no measure",
                "choose from " + measureKeys());
        } else if (!seen.insert(measure).second) {
            add(Severity::error, "secondary_measures",
                "'" + measure + "' stands twice, or is the main measure", "name each measure once");
        }
    }
    if (!plan.comparator.empty() && !findFood(study, plan.comparator)) {
        add(Severity::error, "comparator", "'" + plan.comparator + "' is no food of this study",
            "choose one of " + foodIds(study));
    }
    if (plan.comparator.empty() && resolvedPlan(study, plan).comparator.empty() && study.foods.size() > 1) {
        add(Severity::warning, "comparator",
            "none is named, and no single food has role control or reference",
            "name the food to compare with; until then nothing is compared");
    }
    if (!(plan.timeToleranceMin >= 0.0 && plan.timeToleranceMin <= longestWindowMin)) {
        add(Severity::error, "time_tolerance_min", plainNumber(plan.timeToleranceMin) + " is no tolerance",
            "give minutes from 0 to 2880");
    }
    if (!(plan.duplicateCvLimitPercent > 0.0 && plan.duplicateCvLimitPercent <= 100.0)) {
        add(Severity::error, "duplicate_cv_limit_percent",
            plainNumber(plan.duplicateCvLimitPercent) + " is no limit of a coefficient of variation",
            "give percent above 0, up to 100");
    }
    if (plan.washoutDays && !(*plan.washoutDays >= 0.0 && *plan.washoutDays <= 3650.0)) {
        add(Severity::error, "washout_days", plainNumber(*plan.washoutDays) + " is no length of a washout",
            "give days from 0 to 3650");
    }
    if (plan.resamples < 0 || plan.resamples > mostResamples) {
        add(Severity::error, "resamples", std::to_string(plan.resamples) + " is out of bounds",
            "give 0 to 10000000");
    }
    for (const auto& faults :
         {validate(plan.inference), validate(plan.indexPlan), validate(plan.curvePlan)}) {
        for (const PlanFault& fault : faults) {
            add(Severity::error, fault.key, fault.what, fault.remedy);
        }
    }
    if (seen.count("time_above_limit_min") > 0 && plan.curvePlan.limits.empty()) {
        add(Severity::warning, "limits", "none is named, so that no curve has a time above it",
            "name a concentration an analyte, such as {\"glucose\": 7.8}");
    }
    for (const LevelLimit& limit : plan.curvePlan.limits) {
        if (!findAnalyte(study, limit.analyte)) {
            add(Severity::warning, "limits", "'" + limit.analyte + "' is no analyte of this study",
                "name one of its analytes");
        }
    }
    if (const std::string& analyte = plan.inference.margins.analyte;
        !analyte.empty() && !findAnalyte(study, analyte)) {
        add(Severity::error, "equivalence_analyte", "'" + analyte + "' is no analyte of this study",
            "name one of its analytes");
    }
    if (plan.index && indexReference(study, plan).empty()) {
        add(Severity::note, "index", "asked, but no food has role reference, so there is no index",
            "give the reference food role \"reference\", or set \"index\" to false");
    }
    return problems;
}

Plan resolvedPlan(const Study& study, const Plan& plan) {
    Plan resolved = plan;
    if (resolved.comparator.empty()) {
        resolved.comparator = onlyFoodOf(study, FoodRole::control);
    }
    if (resolved.comparator.empty()) {
        resolved.comparator = onlyFoodOf(study, FoodRole::reference);
    }
    return resolved;
}

}  // namespace aftercurve
