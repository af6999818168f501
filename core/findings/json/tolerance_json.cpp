#include "core/findings/json/json_parts.h"
#include "core/findings/tables/builders.h"

namespace aftercurve {

namespace {

/// Rows of a table that has one row a finding, with the ids of quantity and measure in place of labels.
template <class Things>
Json rowsWithIds(const Table& table, const ToleranceFindings& tolerance, const Things& things) {
    Json rows = tableRowsJson(table);
    for (std::size_t i = 0; i < things.size(); ++i) {
        rows[i]["item"] = tolerance.quantities[things[i].quantity].id;
        if constexpr (requires { things[i].measure; }) {
            rows[i]["measure"] = kindOf(things[i].measure).key;
        }
    }
    return rows;
}

}  // namespace

Json toleranceJson(const Findings& findings) {
    // Built without the study, so that foods stand by id and not by label.
    const Study nameless;
    const ToleranceFindings& tolerance = findings.tolerance;
    Json json = Json::object();
    json["comparator"] = textOrNull(tolerance.comparator);
    json["tests_absent_because"] = textOrNull(tolerance.testsAbsentBecause);
    json["scores"] = rowsWithIds(toleranceScoresTable(nameless, findings), tolerance, tolerance.scores);
    json["summary"] = rowsWithIds(toleranceSummaryTable(nameless, findings), tolerance, tolerance.summaries);
    json["tests"] = rowsWithIds(toleranceTestsTable(nameless, findings), tolerance, tolerance.tests);
    json["doses"] = rowsWithIds(toleranceDosesTable(nameless, findings), tolerance, tolerance.doseTests);
    json["incidence"] =
        rowsWithIds(toleranceIncidenceTable(nameless, findings), tolerance, tolerance.incidence);
    json["categories"] = tableRowsJson(toleranceCategoriesTable(nameless, findings));
    json["diary_missing"] = tableRowsJson(diaryMissingTable(nameless, findings));
    json["adverse_events"] = tableRowsJson(adverseEventsTable(nameless, findings));
    json["adverse_event_counts"] = tableRowsJson(adverseEventCountsTable(nameless, findings));
    return json;
}

}  // namespace aftercurve
