#include "core/report/table_groups.h"

#include <algorithm>
#include <array>

#include "core/findings/table.h"

namespace aftercurve {

namespace {

/// The list of problems is a list of its own in the report, and no table.
constexpr std::string_view shownElsewhere = "problems";

const std::array<TableGroup, 20>& groups() {
    static const std::array<TableGroup, 20> list{{
        {"study", "The study", {"demographics", "composition"}},
        {"flow", "Flow of subjects", {"flow"}},
        {"exclusions", "Exclusions", {"exclusions", "exclusions_effect"}},
        {"plan", "Plan", {"plan_registered"}},
        {"results",
         "Results",
         {"comparisons", "companions", "ranks", "margins", "influence", "agreement", "model", "model_terms",
          "crossover", "crossover_subjects"}},
        {"index",
         "Index",
         {"index", "index_subjects", "index_ways", "index_outliers", "index_pairs", "index_pair_subjects",
          "index_portions", "meals", "meal_parts"}},
        {"conformity", "What a published rule of the index asks", {"conformity"}},
        {"evidence", "What an authority asks", {"evidence"}},
        {"insulin", "Insulin", {"insulin_summary", "insulin_measures"}},
        {"portions", "Portions", {"portions", "servings"}},
        {"time-course", "Time course", {"time_course", "time_course_tests"}},
        {"within-subject", "Spread within subjects", {"within_subject", "within_subject_visits"}},
        {"curves",
         "Curves and their measures",
         {"summary", "sub_windows", "mean_curves", "measures", "sub_windows_curves", "pairs",
          "agreement_subjects"}},
        {"residuals", "Residuals of the models", {"model_residuals"}},
        {"sensitivity", "Sensitivity", {"sensitivity"}},
        {"digestion",
         "Digestion of starch in vitro",
         {"digestion_fractions", "digestion_fits", "digestion_slopes", "digestion_index",
          "digestion_comparisons", "digestion_readings"}},
        {"fibre", "Fibre and recipes", {"fibre_results", "fibre_methods", "fibre_statements", "recipes"}},
        {"bridge", "In vitro and in people", {"bridge"}},
        {"tolerance",
         "Tolerance",
         {"tolerance_summary", "tolerance_tests", "tolerance_doses", "tolerance_ordinal",
          "tolerance_incidence", "tolerance_categories", "diary_missing", "adverse_events",
          "adverse_event_counts", "tolerance_scores"}},
        {"other", "Other tables", {}},
    }};
    return list;
}

bool isListed(std::string_view key) {
    const auto list = tableList();
    return std::any_of(list.begin(), list.end(), [key](const TableKind& kind) { return kind.key == key; });
}

bool isGrouped(std::string_view key) {
    return key == shownElsewhere ||
           std::any_of(groups().begin(), groups().end(), [key](const TableGroup& group) {
               return std::find(group.keys.begin(), group.keys.end(), key) != group.keys.end();
           });
}

}  // namespace

std::span<const TableGroup> tableGroups() {
    return groups();
}

std::vector<std::string_view> keysOf(const TableGroup& group) {
    std::vector<std::string_view> keys;
    if (!group.keys.empty()) {
        std::copy_if(group.keys.begin(), group.keys.end(), std::back_inserter(keys), isListed);
        return keys;
    }
    for (const TableKind& kind : tableList()) {
        if (!isGrouped(kind.key)) {
            keys.push_back(kind.key);
        }
    }
    return keys;
}

}  // namespace aftercurve
