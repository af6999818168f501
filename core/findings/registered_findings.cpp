#include "core/findings/registered_findings.h"

#include "core/files/plan_json.h"
#include "core/files/sha256.h"
#include "core/findings/validate_plan.h"

namespace aftercurve {

namespace {

Json jsonOf(const Study& study, const Plan& plan) {
    Json json = Json::object();
    putPlan(resolvedPlan(study, plan), json);
    return json;
}

std::string textAt(const Json& plan, const std::string& key) {
    using Errors = Json::error_handler_t;
    const auto found = plan.find(key);
    return found == plan.end() ? std::string{} : found->dump(-1, ' ', false, Errors::replace);
}

RegisteredFinding findingOf(const Study& study, const Json& run, const RegisteredPlan& registered) {
    RegisteredFinding finding;
    finding.on = registered.on;
    finding.by = registered.by;
    finding.note = registered.note;
    finding.sha256 = registered.sha256;
    finding.hashHolds = sha256Hex(registered.planJson) == registered.sha256;
    const Json parsed = Json::parse(registered.planJson, nullptr, false);
    Json keys = run;
    Json was = Json::object();
    if (parsed.is_object()) {
        ProblemList problems{20};
        was = jsonOf(study, planFrom(JsonObject{parsed, "registered_plans", "study.json", problems}));
        for (const auto& [key, value] : parsed.items()) {
            if (!was.contains(key)) {
                was[key] = value;
            }
        }
    }
    keys.update(was);
    for (const auto& [key, value] : keys.items()) {
        finding.choices.push_back({key, textAt(was, key), textAt(run, key)});
        finding.differences += finding.choices.back().differs() ? 1U : 0U;
    }
    return finding;
}

std::string differenceText(const RegisteredFinding& finding) {
    std::string text;
    for (const PlanChoice& choice : finding.choices) {
        if (choice.differs()) {
            text += (text.empty() ? "" : ", ") + choice.key + " " +
                    (choice.registered.empty() ? "(not given)" : choice.registered) + " → " +
                    (choice.run.empty() ? "(not given)" : choice.run);
        }
    }
    return text;
}

Problem warning(std::string what, std::string remedy) {
    Problem p;
    p.severity = Severity::warning;
    p.file = "study.json";
    p.column = "registered_plans";
    p.what = std::move(what);
    p.remedy = std::move(remedy);
    return p;
}

}  // namespace

std::vector<RegisteredFinding> registeredFindings(const Study& study, const Plan& run) {
    std::vector<RegisteredFinding> findings;
    if (study.registered.empty()) {
        return findings;
    }
    const Json now = jsonOf(study, run);
    for (const RegisteredPlan& registered : study.registered) {
        findings.push_back(findingOf(study, now, registered));
    }
    return findings;
}

std::vector<Problem> problemsOf(const std::vector<RegisteredFinding>& findings) {
    std::vector<Problem> problems;
    for (const RegisteredFinding& finding : findings) {
        if (!finding.hashHolds) {
            problems.push_back(warning("the plan registered on " + finding.on +
                                           " is not the one its SHA-256 was made of: one of them was altered",
                                       "compare it with the copy that was deposited"));
        }
    }
    if (!findings.empty() && findings.back().differences > 0) {
        problems.push_back(warning("the plan that ran differs from the one registered on " +
                                       findings.back().on + ": " + differenceText(findings.back()),
                                   "report the analysis as registered as well, and say why it was changed"));
    }
    return problems;
}

}  // namespace aftercurve
