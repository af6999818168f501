#include "core/files/index_plan_json.h"

#include <algorithm>
#include <string>

#include "core/files/read_rule.h"

namespace aftercurve {

namespace {

constexpr std::size_t mostLimits = 100;

}  // namespace

IndexPlan indexPlanFrom(const JsonObject& object) {
    IndexPlan plan;
    readRule(object, "index_standard", plan.standard, indexStandardFrom,
             {IndexStandard::iso26642, IndexStandard::fao1998, IndexStandard::wst652, IndexStandard::as4694});
    assign(plan.referenceFactor, object.number("reference_factor"));
    assign(plan.referenceFactorSource, object.text("reference_factor_source"));
    assign(plan.matchTolerancePercent, object.number("match_tolerance_percent"));
    plan.fibreTargetG = object.number("fibre_target_g");
    return plan;
}

CurvePlan curvePlanFrom(const JsonObject& object) {
    CurvePlan plan;
    assign(plan.subWindowsMin, object.numbers("sub_windows_min"));
    const auto limits = object.object("limits");
    if (!limits) {
        return plan;
    }
    if (limits->value().size() > mostLimits) {
        object.report(Weight::fatal, "limits", "has more than 100 entries", "name one limit an analyte");
        return plan;
    }
    for (const auto& [analyte, level] : limits->value().items()) {
        if (const auto number = limits->number(analyte.c_str())) {
            plan.limits.push_back({analyte, *number});
        }
    }
    // The order of the keys of an object means nothing.
    std::sort(plan.limits.begin(), plan.limits.end(),
              [](const LevelLimit& a, const LevelLimit& b) { return a.analyte < b.analyte; });
    return plan;
}

void putIndexPlan(const IndexPlan& plan, Json& object) {
    object["index_standard"] = std::string{wordFor(plan.standard)};
    object["reference_factor"] = numberJson(plan.referenceFactor);
    if (plan.referenceFactorSource.empty()) {
        object.erase("reference_factor_source");
    } else {
        object["reference_factor_source"] = plan.referenceFactorSource;
    }
    object["match_tolerance_percent"] = numberJson(plan.matchTolerancePercent);
    if (plan.fibreTargetG) {
        object["fibre_target_g"] = numberJson(*plan.fibreTargetG);
    } else {
        object.erase("fibre_target_g");
    }
}

void putCurvePlan(const CurvePlan& plan, Json& object) {
    object["sub_windows_min"] = Json::array();
    for (const double limit : plan.subWindowsMin) {
        object["sub_windows_min"].push_back(numberJson(limit));
    }
    Json limits = Json::object();
    for (const LevelLimit& limit : plan.limits) {
        limits[limit.analyte] = numberJson(limit.level);
    }
    object["limits"] = std::move(limits);
}

}  // namespace aftercurve
