#include <string>

#include "core/findings/recompute/parts.h"

namespace aftercurve {

namespace {

ReportedPlace indexPlace(const StudyNumbers& numbers, const char* table, const std::string& analyte,
                         const std::string& measure, const std::string& food, const std::string& comparator) {
    ReportedPlace place;
    place.table = table;
    place.row = analyte + ", " + measure + ", " + food + " against " + comparator;
    place.analyte = numbers.analyte.at(analyte);
    place.measure = measure;
    place.food = numbers.food.at(food);
    place.comparator = numbers.food.at(comparator);
    return place;
}

void addItem(ReportedPlace& place, const std::string& item) {
    place.item = item;
    place.row += ", " + item;
}

void addWay(ReportedRows& rows, const StudyNumbers& numbers, const IndexWay& way) {
    ReportedPlace place =
        indexPlace(numbers, "index_ways", way.analyte, way.measure, way.food, way.reference);
    addItem(place, keyOf(way.way));
    addCount(rows, place, "n", way.n);
    addNumber(rows, place, "estimate", way.estimate, way.remark);
    addNumber(rows, place, "ci_low", way.ciLow, way.remark);
    addNumber(rows, place, "ci_high", way.ciHigh, way.remark);
    addNumber(rows, place, "difference", way.difference, way.remark);
    addNumber(rows, place, "covariance_term", way.covarianceTerm,
              way.remark.empty() ? std::string{"of the ratio of means alone"} : way.remark);
    addWord(rows, place, "set", way.set, "of Fieller's theorem alone");
}

void addRule(ReportedRows& rows, const StudyNumbers& numbers, const IndexOutliers& o) {
    ReportedPlace place = indexPlace(numbers, "index_outliers", o.analyte, o.measure, o.food, o.reference);
    addItem(place, std::string{wordFor(o.rule)});
    const std::string& because = o.index.absentBecause;
    addCount(rows, place, "n", o.index.n);
    addCount(rows, place, "passes", o.index.outlierPasses);
    addNumber(rows, place, "mean", o.index.mean, because);
    addNumber(rows, place, "sd", o.index.sd, because);
    addNumber(rows, place, "sem", o.index.sem, because);
    addNumber(rows, place, "ci_low", o.index.ciLow, because);
    addNumber(rows, place, "ci_high", o.index.ciHigh, because);
    addWord(rows, place, "class", o.indexClass, "for glucose and the positive incremental area only");
}

void addPair(ReportedRows& rows, const StudyNumbers& numbers, const IndexPair& pair) {
    ReportedPlace place =
        indexPlace(numbers, "index_pairs", pair.analyte, pair.measure, pair.food, pair.comparator);
    const auto add = [&](std::string_view quantity, const std::optional<double>& value,
                         const std::string& because) { addNumber(rows, place, quantity, value, because); };
    const std::string& noT = pair.t.absentBecause;
    addCount(rows, place, "n", pair.t.n);
    add("mean_difference", pair.t.meanDifference, noT);
    add("sd_difference", pair.t.sdDifference, noT);
    add("ci_low", pair.t.ciLow, noT);
    add("ci_high", pair.t.ciHigh, noT);
    add("t", pair.t.t, noT);
    add("df", pair.t.df, noT);
    add("p", pair.t.p, noT);
    add("p_adjusted", pair.pAdjusted, noT);
    add("wilcoxon_v", pair.signedRank.v, pair.signedRank.absentBecause);
    add("wilcoxon_p", pair.signedRank.p, pair.signedRank.absentBecause);
    add("hodges_lehmann", pair.hodgesLehmann.estimate, pair.hodgesLehmann.absentBecause);
    add("hodges_lehmann_ci_low", pair.hodgesLehmann.ciLow, pair.hodgesLehmann.absentBecause);
    add("hodges_lehmann_ci_high", pair.hodgesLehmann.ciHigh, pair.hodgesLehmann.absentBecause);
    add("effect_dz", pair.effect.dz, pair.effect.absentBecause);
    place.table = "index_pair_subjects";
    const std::string row = place.row;
    for (const IndexPairSubject& subject : pair.subjects) {
        place.subject = numbers.subject.at(subject.subject);
        place.row = row + ", " + subject.subject;
        add("food_index", subject.food, subject.leftOutBecause);
        add("comparator_index", subject.comparator, subject.leftOutBecause);
        add("difference", subject.difference, subject.leftOutBecause);
    }
}

void addInterval(ReportedRows& rows, const ReportedPlace& place, const std::string& name,
                 const std::string& ends, const IndexInterval& interval, const std::string& because) {
    addNumber(rows, place, name, interval.estimate, because);
    addNumber(rows, place, ends + "ci_low", interval.low, because);
    addNumber(rows, place, ends + "ci_high", interval.high, because);
}

void addPortion(ReportedRows& rows, const StudyNumbers& numbers, const IndexPortion& p) {
    const ReportedPlace place =
        indexPlace(numbers, "index_portions", p.analyte, p.measure, p.food, p.reference);
    const std::string because = p.remark.empty() ? "does not apply" : p.remark;
    addCount(rows, place, "n", p.n);
    addInterval(rows, place, "index", "", p.index, because);
    addNumber(rows, place, "factor", p.factor, because);
    addInterval(rows, place, "glucose_scale", "glucose_scale_", p.glucoseScale, because);
    addWord(rows, place, "class", p.indexClass, because);
    addNumber(rows, place, "carbohydrate_g", p.carbohydrateG, "not given");
    addNumber(rows, place, "mismatch_percent", p.mismatchPercent, "not known");
    addWord(rows, place, "matched", p.matched ? (*p.matched ? "yes" : "no") : "", "not known");
    addInterval(rows, place, "load", "load_", p.load, because);
    addNumber(rows, place, "serving_g", p.servingG, "not given");
    addInterval(rows, place, "serving_load", "serving_load_", p.servingLoad, because);
    addInterval(rows, place, "relative_response", "relative_response_", p.relativeResponse, because);
}

void addMeal(ReportedRows& rows, const StudyNumbers& numbers, const MealFinding& meal) {
    ReportedPlace place;
    place.table = "meals";
    place.row = meal.food;
    place.food = numbers.food.at(meal.food);
    const std::string because = meal.remark.empty() ? "does not apply" : meal.remark;
    addNumber(rows, place, "parts_carbohydrate_g", meal.predicted.carbohydrateG, because);
    addNumber(rows, place, "carbohydrate_g", meal.carbohydrateG, "not given");
    addNumber(rows, place, "mismatch_percent", meal.mismatchPercent, because);
    addNumber(rows, place, "predicted", meal.predicted.index, because);
    addNumber(rows, place, "predicted_load", meal.predicted.load, because);
    addCount(rows, place, "n", meal.n);
    addInterval(rows, place, "observed", "", meal.observed, because);
    addNumber(rows, place, "difference", meal.difference, because);
    addWord(rows, place, "holds", meal.holds ? (*meal.holds ? "yes" : "no") : "", because);
    place.table = "meal_parts";
    for (std::size_t i = 0; i < meal.parts.size(); ++i) {
        place.item = std::to_string(i + 1);
        place.row = meal.food + ", " + meal.parts[i].label;
        const bool known = i < meal.predicted.parts.size();
        const MealPartShare share = known ? meal.predicted.parts[i] : MealPartShare{};
        const auto ofShare = [known](double value) {
            return known ? std::optional<double>{value} : std::nullopt;
        };
        addNumber(rows, place, "carbohydrate_g", meal.parts[i].carbohydrateG);
        addNumber(rows, place, "index", meal.parts[i].index);
        addNumber(rows, place, "proportion", ofShare(share.proportion), because);
        addNumber(rows, place, "factor", ofShare(share.factor), because);
        addNumber(rows, place, "glucose_scale", ofShare(share.indexGlucose), because);
        addNumber(rows, place, "contribution", ofShare(share.contribution), because);
    }
}

}  // namespace

void addIndexDetails(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings) {
    for (const IndexWay& way : findings.indexWays) {
        addWay(rows, numbers, way);
    }
    for (const IndexOutliers& rule : findings.indexOutliers) {
        addRule(rows, numbers, rule);
    }
    for (const IndexPair& pair : findings.indexPairs) {
        addPair(rows, numbers, pair);
    }
    for (const IndexPortion& portion : findings.indexPortions) {
        addPortion(rows, numbers, portion);
    }
    for (const MealFinding& meal : findings.meals) {
        addMeal(rows, numbers, meal);
    }
}

}  // namespace aftercurve
