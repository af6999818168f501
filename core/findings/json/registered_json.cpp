#include "core/findings/json/json_parts.h"

namespace aftercurve {

Json registeredJson(const RegisteredFinding& finding) {
    Json differences = Json::array();
    for (const PlanChoice& choice : finding.choices) {
        if (choice.differs()) {
            differences.push_back({{"key", choice.key},
                                   {"registered", textOrNull(choice.registered)},
                                   {"run", textOrNull(choice.run)}});
        }
    }
    return {{"on", finding.on},         {"by", textOrNull(finding.by)},    {"note", textOrNull(finding.note)},
            {"sha256", finding.sha256}, {"hash_holds", finding.hashHolds}, {"differences", differences}};
}

}  // namespace aftercurve
