#include "core/findings/json/json_parts.h"
#include "core/findings/tables/builders.h"
#include "core/findings/tolerance_ordinal.h"

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

Json groupJson(const Study& nameless, const ToleranceFindings& tolerance, const ToleranceOrdinalModel& one,
               std::size_t group) {
    static const OrdinalEffect none;
    const OrdinalEffect* found = effectOf(one, group);
    const OrdinalEffect& effect = found == nullptr ? none : *found;
    const DiaryArm& arm = tolerance.runs.arms[one.arms[group]];
    return {{"food", labelOf(nameless, arm.food)},
            {"dose_g", orNull(arm.doseG)},
            {"n", effect.n},
            {"log_odds", orNull(effect.logOdds)},
            {"se", orNull(effect.se)},
            {"ci_low", orNull(effect.ciLow)},
            {"ci_high", orNull(effect.ciHigh)},
            {"odds_ratio", orNull(oddsOf(effect.logOdds))},
            {"odds_ratio_ci_low", orNull(oddsOf(effect.ciLow))},
            {"odds_ratio_ci_high", orNull(oddsOf(effect.ciHigh))},
            {"z", orNull(effect.z)},
            {"p", orNull(effect.p)},
            {"p_adjusted", orNull(one.pAdjusted[group - 1])},
            {"absent_because", textOrNull(effectAbsentBecause(one, group))}};
}

Json ordinalJson(const Study& nameless, const ToleranceFindings& tolerance,
                 const ToleranceOrdinalModel& one) {
    const OrdinalMixed& model = one.model;
    const DiaryArm& comparator = tolerance.runs.arms[one.arms.front()];
    Json json = {{"item", tolerance.quantities[one.quantity].id},
                 {"measure", kindOf(DiaryMeasure::worst).key},
                 {"comparator", labelOf(nameless, comparator.food)},
                 {"comparator_dose_g", orNull(comparator.doseG)},
                 {"scores", model.n},
                 {"missing_scores", one.withoutScore},
                 {"subjects", model.subjects},
                 {"values", one.values},
                 {"counts", model.counts},
                 {"thresholds", model.thresholds},
                 {"subject_sd", orNull(model.subjectSd)},
                 {"log_likelihood", orNull(model.logLikelihood)},
                 {"likelihood_ratio", orNull(model.likelihoodRatio)},
                 {"df", model.likelihoodRatio ? Json(model.df) : Json(nullptr)},
                 {"p", orNull(model.p)},
                 {"absent_because", textOrNull(model.absentBecause)},
                 {"note", textOrNull(model.note)}};
    json["foods"] = Json::array();
    for (std::size_t group = 1; group < one.arms.size(); ++group) {
        json["foods"].push_back(groupJson(nameless, tolerance, one, group));
    }
    return json;
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
    json["ordinal"] = arrayOf(tolerance.ordinalModels, [&](const ToleranceOrdinalModel& one) {
        return ordinalJson(nameless, tolerance, one);
    });
    json["incidence"] =
        rowsWithIds(toleranceIncidenceTable(nameless, findings), tolerance, tolerance.incidence);
    json["categories"] = tableRowsJson(toleranceCategoriesTable(nameless, findings));
    json["diary_missing"] = tableRowsJson(diaryMissingTable(nameless, findings));
    json["adverse_events"] = tableRowsJson(adverseEventsTable(nameless, findings));
    json["adverse_event_counts"] = tableRowsJson(adverseEventCountsTable(nameless, findings));
    return json;
}

}  // namespace aftercurve
