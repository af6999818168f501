#include "core/findings/json/json_parts.h"
#include "core/findings/tables/builders.h"

namespace aftercurve {

Json fibreJson(const Findings& findings) {
    const FibreFindings& fibre = findings.fibre;
    const Study nameless;
    Json json = Json::object();
    json["rule"] = nullptr;
    if (fibre.rule) {
        json["rule"] = {{"key", fibre.rule->key},
                        {"title", fibre.rule->title},
                        {"source", fibre.rule->source},
                        {"on", textOrNull(fibre.rule->on)}};
    }
    json["target_g"] = orNull(fibre.targetG);
    json["results"] = tableRowsJson(fibreResultsTable(nameless, findings));
    json["methods"] = tableRowsJson(fibreMethodsTable(nameless, findings));
    json["disagreements"] = arrayOf(fibre.disagreements, [&fibre](const FibreDisagreement& one) {
        const auto origin = [&fibre](std::size_t at) {
            return Json{{"method", fibre.results[at].method},
                        {"fraction", fibre.results[at].fraction},
                        {"laboratory", textOrNull(fibre.results[at].laboratory)}};
        };
        return Json{{"material", fibre.results[one.one].material},
                    {"one", origin(one.one)},
                    {"other", origin(one.other)},
                    {"difference_g", one.differenceG},
                    {"basis", one.onDry ? "dry" : "as-is"},
                    {"explained", one.explained},
                    {"text", one.text}};
    });
    json["statements"] = tableRowsJson(fibreStatementsTable(nameless, findings));
    json["recipes"] = tableRowsJson(recipesTable(nameless, findings));
    json["excluded"] = leftOutJson(fibre.excluded);
    return json;
}

}  // namespace aftercurve
