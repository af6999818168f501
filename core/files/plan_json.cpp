#include "core/files/plan_json.h"

#include <cmath>
#include <cstdint>
#include <initializer_list>
#include <string>

#include "core/files/excerpt.h"

namespace aftercurve {

namespace {

template <class Rule, class From>
void readRule(const JsonObject& object, const char* key, Rule& rule, From from,
              std::initializer_list<Rule> allowed) {
    const auto word = object.text(key);
    if (!word) {
        return;
    }
    if (const auto found = from(*word)) {
        rule = *found;
        return;
    }
    std::string words;
    for (const Rule one : allowed) {
        words += (words.empty() ? "" : ", ") + std::string{wordFor(one)};
    }
    object.report(Weight::fatal, key, "is " + quote(*word) + ", which is not a known rule",
                  "use one of " + words);
}

/// 120 rather than 120.0, as people write it.
Json numberFor(double value) {
    const bool whole = std::abs(value) < 1e15 && value == std::trunc(value);
    return whole ? Json(static_cast<std::int64_t>(value)) : Json(value);
}

template <class Value>
void assign(Value& target, std::optional<Value> read) {
    if (read) {
        target = std::move(*read);
    }
}

}  // namespace

Plan planFrom(const JsonObject& object) {
    Plan plan;
    assign(plan.windowEndMin, object.number("window_end_min"));
    readRule(object, "baseline", plan.baseline, baselineRuleFrom,
             {BaselineRule::fastingMean, BaselineRule::timeZero});
    readRule(object, "missing_interior", plan.missingInterior, missingInteriorRuleFrom,
             {MissingInteriorRule::span, MissingInteriorRule::exclude});
    assign(plan.measure, object.text("measure"));
    assign(plan.secondaryMeasures, object.texts("secondary_measures", Need::optional));
    assign(plan.comparator, object.text("comparator"));
    assign(plan.alpha, object.number("alpha"));
    readRule(object, "multiplicity", plan.multiplicity, multiplicityFrom,
             {Multiplicity::none, Multiplicity::holm});
    assign(plan.index, object.boolean("index"));
    readRule(object, "index_outlier_rule", plan.indexOutlierRule, indexOutlierRuleFrom,
             {IndexOutlierRule::none, IndexOutlierRule::twoSdOnce});
    assign(plan.resamples, object.wholeNumber("resamples"));
    assign(plan.seed, object.unsignedNumber("seed"));
    object.noteUnknownKeys({"window_end_min", "baseline", "missing_interior", "measure", "secondary_measures",
                            "comparator", "alpha", "multiplicity", "index", "index_outlier_rule", "resamples",
                            "seed"});
    return plan;
}

void putPlan(const Plan& plan, Json& object) {
    object["window_end_min"] = numberFor(plan.windowEndMin);
    object["baseline"] = std::string{wordFor(plan.baseline)};
    object["missing_interior"] = std::string{wordFor(plan.missingInterior)};
    object["measure"] = plan.measure;
    object["secondary_measures"] = plan.secondaryMeasures;
    if (plan.comparator.empty()) {
        object.erase("comparator");
    } else {
        object["comparator"] = plan.comparator;
    }
    object["alpha"] = numberFor(plan.alpha);
    object["multiplicity"] = std::string{wordFor(plan.multiplicity)};
    object["index"] = plan.index;
    object["index_outlier_rule"] = std::string{wordFor(plan.indexOutlierRule)};
    object["resamples"] = plan.resamples;
    object["seed"] = plan.seed;
}

}  // namespace aftercurve
