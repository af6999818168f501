#include <algorithm>
#include <array>
#include <cassert>

#include "core/findings/tables/builders.h"

namespace aftercurve {

namespace {

constexpr std::array tables{
    TableKind{"demographics", demographicsTable},
    TableKind{"measures", measuresTable},
    TableKind{"summary", summaryTable},
    TableKind{"mean_curves", meanCurvesTable},
    TableKind{"comparisons", comparisonsTable},
    TableKind{"pairs", pairsTable},
    TableKind{"agreement", agreementTable},
    TableKind{"agreement_subjects", agreementSubjectsTable},
    TableKind{"model", modelTable},
    TableKind{"model_terms", modelTermsTable},
    TableKind{"model_residuals", modelResidualsTable},
    TableKind{"time_course", timeCourseTable},
    TableKind{"time_course_tests", timeCourseTestsTable},
    TableKind{"companions", companionsTable},
    TableKind{"ranks", ranksTable},
    TableKind{"margins", marginsTable},
    TableKind{"influence", influenceTable},
    TableKind{"crossover", crossoverTable},
    TableKind{"crossover_subjects", crossoverSubjectsTable},
    TableKind{"sensitivity", sensitivityTable},
    TableKind{"plan_registered", registeredTable},
    TableKind{"index", indexTable},
    TableKind{"index_subjects", indexSubjectsTable},
    TableKind{"conformity", conformityTable},
    TableKind{"evidence", evidenceTable},
    TableKind{"index_ways", indexWaysTable},
    TableKind{"index_outliers", indexOutliersTable},
    TableKind{"index_pairs", indexPairsTable},
    TableKind{"index_pair_subjects", indexPairSubjectsTable},
    TableKind{"index_portions", indexPortionsTable},
    TableKind{"meals", mealsTable},
    TableKind{"meal_parts", mealPartsTable},
    TableKind{"portions", portionsTable},
    TableKind{"servings", servingsTable},
    TableKind{"composition", compositionTable},
    TableKind{"fibre_results", fibreResultsTable},
    TableKind{"fibre_methods", fibreMethodsTable},
    TableKind{"fibre_statements", fibreStatementsTable},
    TableKind{"recipes", recipesTable},
    TableKind{"insulin_summary", insulinSummaryTable},
    TableKind{"insulin_measures", insulinMeasuresTable},
    TableKind{"sub_windows", subWindowsTable},
    TableKind{"sub_windows_curves", subWindowsCurvesTable},
    TableKind{"within_subject", withinSubjectTable},
    TableKind{"within_subject_visits", withinSubjectVisitsTable},
    TableKind{"flow", flowTable},
    TableKind{"tolerance_scores", toleranceScoresTable},
    TableKind{"tolerance_summary", toleranceSummaryTable},
    TableKind{"tolerance_tests", toleranceTestsTable},
    TableKind{"tolerance_doses", toleranceDosesTable},
    TableKind{"tolerance_ordinal", toleranceOrdinalTable},
    TableKind{"tolerance_incidence", toleranceIncidenceTable},
    TableKind{"tolerance_categories", toleranceCategoriesTable},
    TableKind{"diary_missing", diaryMissingTable},
    TableKind{"adverse_events", adverseEventsTable},
    TableKind{"adverse_event_counts", adverseEventCountsTable},
    TableKind{"bridge", bridgeTable},
    TableKind{"digestion_fractions", digestionFractionsTable},
    TableKind{"digestion_fits", digestionFitsTable},
    TableKind{"digestion_slopes", digestionSlopesTable},
    TableKind{"digestion_index", digestionIndexTable},
    TableKind{"digestion_comparisons", digestionComparisonsTable},
    TableKind{"digestion_readings", digestionReadingsTable},
    TableKind{"exclusions", exclusionsTable},
    TableKind{"exclusions_effect", exclusionsEffectTable},
    TableKind{"problems", problemsTable},
};

}  // namespace

std::span<const TableKind> tableList() {
    return tables;
}

Table buildTable(std::string_view key, const Study& study, const Findings& findings) {
    const auto* kind =
        std::find_if(tables.begin(), tables.end(), [key](const TableKind& t) { return t.key == key; });
    assert(kind != tables.end());
    return kind->build(study, findings);
}

}  // namespace aftercurve
