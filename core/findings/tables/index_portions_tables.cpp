#include "core/base/number_text.h"
#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"

namespace aftercurve {

namespace {

Cell yesNoOrNothing(const std::optional<bool>& answer) {
    return answer ? Cell{std::string{*answer ? "yes" : "no"}} : Cell{};
}

}  // namespace

Table indexPortionsTable(const Study& study, const Findings& findings) {
    const std::string confidence = confidencePercent(findings.plan.alpha) + " % CI";
    Table table;
    table.key = "index_portions";
    table.title = "Load and scale";
    table.emptyText = "No index: the plan asks for none, or there is no reference food.";
    const auto number = [](const char* key, std::string title, const char* unit, std::string explanation,
                           std::vector<std::string> inputs = {}) {
        return numberColumn(key, std::move(title), unit, 1, std::move(explanation), std::move(inputs));
    };
    const auto ends = [&](const char* low, const char* high, const std::string& of, const char* unit,
                          const std::string& explanation, const std::vector<std::string>& inputs) {
        table.columns.push_back(number(low, of + ", " + confidence + " from", unit, explanation, inputs));
        table.columns.push_back(number(high, of + ", " + confidence + " to", unit, explanation, inputs));
    };
    table.columns = {
        textColumn("analyte", "Analyte"), textColumn("food", "Food"),
        textColumn("reference", "Reference food"), countColumn("n", "n", "Subjects with a value"),
        number("index", "Index", "", "Mean over subjects, on the scale of the reference food (100)",
               {"n", "index_subjects.value"})};
    ends("ci_low", "ci_high", "Index", "", "Mean ± t · SEM", {"index", "n", "index_subjects.value"});
    table.columns.push_back(numberColumn(
        "factor", "Factor", "", 3, "From the reference's scale to the glucose scale, as the plan says"));
    table.columns.push_back(textColumn("factor_source", "Source of the factor"));
    table.columns.push_back(
        number("glucose_scale", "On the glucose scale", "", "Index × factor", {"index", "factor"}));
    ends("glucose_scale_ci_low", "glucose_scale_ci_high", "On the glucose scale", "",
         "End of the index's interval × factor", {"ci_low", "ci_high", "factor"});
    table.columns.push_back(textColumn("class", "Class", "Of the index on the glucose scale"));
    table.columns.push_back(
        number("carbohydrate_g", "Available carbohydrate", "g", "Of the portion, as study.json gives it"));
    table.columns.push_back(number("mismatch_percent", "Against the reference", "%",
                                   "100 × (carbohydrate of the portion − of the reference's) / of the "
                                   "reference's",
                                   {"carbohydrate_g"}));
    table.columns.push_back(textColumn("matched", "Matched", "Within the tolerance of the plan"));
    table.columns.push_back(number("load", "Glycaemic load", "g",
                                   "Index on the glucose scale × available carbohydrate / 100",
                                   {"glucose_scale", "carbohydrate_g"}));
    ends("load_ci_low", "load_ci_high", "Glycaemic load", "",
         "End of the interval on the glucose scale × available carbohydrate / 100",
         {"glucose_scale_ci_low", "glucose_scale_ci_high", "carbohydrate_g"});
    table.columns.push_back(number("serving_g", "Serving", "g", "As study.json gives it"));
    table.columns.push_back(number("serving_load", "Load of a serving", "g",
                                   "Load × weight of the serving / weight of the portion",
                                   {"load", "serving_g"}));
    ends("serving_load_ci_low", "serving_load_ci_high", "Load of a serving", "",
         "End of the load's interval × weight of the serving / weight of the portion",
         {"load_ci_low", "load_ci_high", "serving_g"});
    table.columns.push_back(
        number("relative_response", "Relative response", "%",
               "Mean over subjects of 100 × response to the portion / to the reference's, "
               "where the portions do not match",
               {"n", "index_subjects.value"}));
    ends("relative_response_ci_low", "relative_response_ci_high", "Relative response", "%", "Mean ± t · SEM",
         {"relative_response", "n", "index_subjects.value"});
    table.columns.push_back(textColumn("remark", "Remark"));
    for (const IndexPortion& p : findings.indexPortions) {
        Row row;
        row.key = p.analyte + "/" + p.food;
        row.about = {p.analyte, p.measure, p.food, ""};
        row.muted = !p.index.estimate && !p.relativeResponse.estimate;
        row.cells = {p.analyte, labelOf(study, p.food), labelOf(study, p.reference), cellOf(p.n)};
        const auto add = [&row](const IndexInterval& interval) {
            row.cells.insert(row.cells.end(),
                             {cellOf(interval.estimate), cellOf(interval.low), cellOf(interval.high)});
        };
        add(p.index);
        row.cells.insert(row.cells.end(), {cellOf(p.factor), cellOf(p.factorSource)});
        add(p.glucoseScale);
        row.cells.insert(row.cells.end(), {cellOf(p.indexClass), cellOf(p.carbohydrateG),
                                           cellOf(p.mismatchPercent), yesNoOrNothing(p.matched)});
        add(p.load);
        row.cells.push_back(cellOf(p.servingG));
        add(p.servingLoad);
        add(p.relativeResponse);
        row.cells.push_back(cellOf(p.remark));
        table.rows.push_back(std::move(row));
    }
    if (!table.rows.empty()) {
        table.notes = {
            "ISO 26642 compares portions of equal available carbohydrate. Portions that differ by more "
            "than " +
            plainNumber(findings.plan.indexPlan.matchTolerancePercent) +
            " % have a relative response and no index, class or load. Factor and carbohydrate count as "
            "known."};
    }
    return table;
}

Table mealsTable(const Study& study, const Findings& findings) {
    const std::string confidence = confidencePercent(findings.plan.alpha) + " % CI";
    Table table;
    table.key = "meals";
    table.title = "Mixed meals";
    table.emptyText = "No mixed meal: no food names its parts in study.json, or there is no index.";
    table.columns = {
        textColumn("food", "Food"),
        numberColumn("parts_carbohydrate_g", "Carbohydrate of the parts", "g", 1,
                     "Sum of the parts' available carbohydrate", {"meal_parts.carbohydrate_g"}),
        numberColumn("carbohydrate_g", "Available carbohydrate", "g", 1,
                     "Of the portion, as study.json gives it"),
        numberColumn("mismatch_percent", "Against the portion", "%", 1,
                     "100 × (sum of the parts − portion) / portion",
                     {"parts_carbohydrate_g", "carbohydrate_g"}),
        numberColumn(
            "predicted", "Predicted index", "", 1,
            "Σ index · carbohydrate / Σ carbohydrate over the parts, each index on the glucose scale",
            {"meal_parts.contribution"}),
        numberColumn("predicted_load", "Predicted load", "g", 1,
                     "Predicted index × carbohydrate of the parts / 100",
                     {"predicted", "parts_carbohydrate_g"}),
        countColumn("n", "n", "Subjects with a glucose index of the meal"),
        numberColumn("observed", "Observed index", "", 1, "Index on the glucose scale",
                     {"index_portions.glucose_scale"}),
        numberColumn("ci_low", confidence + " from", "", 1, "Of the observed index",
                     {"index_portions.glucose_scale_ci_low"}),
        numberColumn("ci_high", confidence + " to", "", 1, "Of the observed index",
                     {"index_portions.glucose_scale_ci_high"}),
        numberColumn("difference", "Difference", "", 1, "Observed − predicted", {"observed", "predicted"}),
        textColumn("holds", "Interval holds the predicted value"),
        textColumn("remark", "Remark")};
    for (const MealFinding& meal : findings.meals) {
        Row row;
        row.key = "glucose/" + meal.food;
        row.about = {"glucose", meal.measure, meal.food, ""};
        row.muted = !meal.predicted.index;
        row.cells = {labelOf(study, meal.food),
                     cellOf(meal.predicted.carbohydrateG),
                     cellOf(meal.carbohydrateG),
                     cellOf(meal.mismatchPercent),
                     cellOf(meal.predicted.index),
                     cellOf(meal.predicted.load),
                     cellOf(meal.n),
                     cellOf(meal.observed.estimate),
                     cellOf(meal.observed.low),
                     cellOf(meal.observed.high),
                     cellOf(meal.difference),
                     yesNoOrNothing(meal.holds),
                     cellOf(meal.remark)};
        table.rows.push_back(std::move(row));
    }
    if (!table.rows.empty()) {
        table.notes = {
            "The prediction takes the carbohydrate alone, from published values of other people; what fat, "
            "protein and fibre do is not in it. That the interval holds the predicted value does not show "
            "that "
            "the two are equal."};
    }
    return table;
}

Table mealPartsTable(const Study& study, const Findings& findings) {
    Table table;
    table.key = "meal_parts";
    table.title = "Parts of the mixed meals";
    table.emptyText = "No mixed meal: no food names its parts in study.json, or there is no index.";
    table.columns = {
        textColumn("food", "Food"),
        textColumn("part", "Part"),
        numberColumn("carbohydrate_g", "Available carbohydrate", "g", 1, "As study.json gives it"),
        numberColumn("proportion", "Proportion", "", 3, "Carbohydrate of the part / of all parts",
                     {"carbohydrate_g"}),
        numberColumn("index", "Index", "", 1, "Of the part alone, as study.json gives it"),
        textColumn("scale", "Scale", "Of that index"),
        numberColumn("factor", "Factor", "", 3, "To the glucose scale; 1 where it stands on it"),
        numberColumn("glucose_scale", "On the glucose scale", "", 1, "Index × factor", {"index", "factor"}),
        numberColumn("contribution", "Contribution", "", 2, "Proportion × index on the glucose scale",
                     {"proportion", "glucose_scale"}),
        textColumn("source", "Source"),
        textColumn("factor_source", "Source of the factor")};
    for (const MealFinding& meal : findings.meals) {
        for (std::size_t i = 0; i < meal.parts.size(); ++i) {
            const MealPart& part = meal.parts[i];
            const bool known = i < meal.predicted.parts.size();
            const MealPartShare share = known ? meal.predicted.parts[i] : MealPartShare{};
            const auto ofShare = [known](double value) { return known ? Cell{value} : Cell{}; };
            Row row;
            row.key = "glucose/" + meal.food + "/" + std::to_string(i + 1);
            row.about = {"glucose", meal.measure, meal.food, ""};
            row.muted = !known;
            row.cells = {labelOf(study, meal.food),
                         cellOf(part.label),
                         Cell{part.carbohydrateG},
                         ofShare(share.proportion),
                         Cell{part.index},
                         std::string{wordFor(part.scale)},
                         ofShare(share.factor),
                         ofShare(share.indexGlucose),
                         ofShare(share.contribution),
                         cellOf(part.source),
                         cellOf(part.scale == IndexScale::whiteBread ? meal.breadFactorSource : "")};
            table.rows.push_back(std::move(row));
        }
    }
    return table;
}

}  // namespace aftercurve
