#include "core/findings/recompute/parts.h"

namespace aftercurve {

namespace {

ReportedPlace placeOf(const StudyNumbers& numbers, const std::string& analyte, const std::string& measure,
                      const std::string& food, const std::string& comparator) {
    ReportedPlace place;
    place.row = analyte + ", " + measure + ", " + food + " against " + comparator;
    place.analyte = numbers.analyte.at(analyte);
    place.measure = measure;
    place.food = numbers.food.at(food);
    place.comparator = numbers.food.at(comparator);
    return place;
}

void addComparison(ReportedRows& rows, const StudyNumbers& numbers, const ComparisonFinding& c,
                   const std::string& state) {
    ReportedPlace place = placeOf(numbers, c.analyte, c.measure, c.food, c.comparator);
    place.table = "comparisons" + state;
    const auto add = [&](std::string_view quantity, const std::optional<double>& value,
                         std::string_view because) { addNumber(rows, place, quantity, value, because); };
    const std::string& noT = c.t.absentBecause;
    addCount(rows, place, "n", c.t.n);
    add("food_mean", c.foodMean, noT);
    add("comparator_mean", c.comparatorMean, noT);
    add("mean_difference", c.t.meanDifference, noT);
    add("sd_difference", c.t.sdDifference, noT);
    add("sem_difference", c.t.semDifference, noT);
    add("ci_low", c.t.ciLow, noT);
    add("ci_high", c.t.ciHigh, noT);
    add("t", c.t.t, noT);
    add("df", c.t.df, noT);
    add("p", c.t.p, noT);
    add("p_adjusted", c.pAdjusted, noT);
    add("wilcoxon_v", c.signedRank.v, c.signedRank.absentBecause);
    add("wilcoxon_p", c.signedRank.p, c.signedRank.absentBecause);
    addCount(rows, place, "wilcoxon_zeros", c.signedRank.zeros);
    addWord(rows, place, "wilcoxon_ties", c.signedRank.ties ? "yes" : "no");
    addWord(rows, place, "wilcoxon_method", c.signedRank.method, c.signedRank.absentBecause);
    add("hodges_lehmann", c.hodgesLehmann.estimate, c.hodgesLehmann.absentBecause);
    add("hodges_lehmann_ci_low", c.hodgesLehmann.ciLow, c.hodgesLehmann.absentBecause);
    add("hodges_lehmann_ci_high", c.hodgesLehmann.ciHigh, c.hodgesLehmann.absentBecause);
    add("hodges_lehmann_confidence", c.hodgesLehmann.achievedConfidence, c.hodgesLehmann.absentBecause);
    addWord(rows, place, "hodges_lehmann_method", c.hodgesLehmann.method, c.hodgesLehmann.absentBecause);
    add("effect_dz", c.effect.dz, c.effect.absentBecause);
    add("effect_gz", c.effect.gz, c.effect.absentBecause);
    add("shapiro_w", c.normality.w, c.normality.absentBecause);
    add("shapiro_p", c.normality.p, c.normality.absentBecause);
    place.table = "pairs" + state;
    const std::string row = place.row;
    for (const PairFinding& pair : c.pairs) {
        place.subject = numbers.subject.at(pair.subject);
        place.row = row + ", " + pair.subject;
        add("food", pair.food, {});
        add("comparator", pair.comparator, {});
        add("difference", pair.difference, {});
    }
}

void addEffect(ReportedRows& rows, ReportedPlace place, const std::string& item,
               const CrossoverEffect& effect) {
    place.item = item;
    place.row += ", " + item;
    const auto add = [&](std::string_view quantity, const std::optional<double>& value) {
        addNumber(rows, place, quantity, value, effect.absentBecause);
    };
    add("estimate", effect.estimate);
    add("se", effect.se);
    add("t", effect.t);
    add("df", effect.df);
    add("p", effect.p);
    add("ci_low", effect.ciLow);
    add("ci_high", effect.ciHigh);
}

void addOneIndex(ReportedRows& rows, const StudyNumbers& numbers, const IndexFinding& finding,
                 const std::string& state) {
    ReportedPlace place = placeOf(numbers, finding.analyte, finding.measure, finding.food, finding.reference);
    place.table = "index" + state;
    const FoodIndex& index = finding.index;
    const auto add = [&](std::string_view quantity, const std::optional<double>& value) {
        addNumber(rows, place, quantity, value, index.absentBecause);
    };
    addCount(rows, place, "n", index.n);
    add("mean", index.mean);
    add("sd", index.sd);
    add("sem", index.sem);
    add("ci_low", index.ciLow);
    add("ci_high", index.ciHigh);
    addWord(rows, place, "class", finding.indexClass.value_or(""),
            index.mean ? "for glucose and the positive incremental area only, where the rule has classes"
                       : index.absentBecause);
    addNumber(rows, place, "reference_cv_percent", index.referenceCvPercent,
              "no subject has two visits with the reference food");
    place.table = "index_subjects" + state;
    const std::string row = place.row;
    for (const SubjectIndex& subject : index.subjects) {
        place.subject = numbers.subject.at(subject.subject);
        place.row = row + ", " + subject.subject;
        addNumber(rows, place, "value", subject.value, subject.absentBecause);
        addWord(rows, place, "outlier", subject.outlier ? "yes" : "no");
        addWord(rows, place, "left_out", subject.leftOut ? "yes" : "no");
    }
}

}  // namespace

void addComparisons(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings) {
    for (const ComparisonFinding& comparison : findings.comparisons) {
        addComparison(rows, numbers, comparison, "");
    }
    for (const ComparisonFinding& comparison : findings.comparisonsIgnoringExclusions) {
        addComparison(rows, numbers, comparison, "_ignoring_exclusions");
    }
}

void addCrossovers(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings) {
    for (const CrossoverFinding& finding : findings.crossovers) {
        ReportedPlace place =
            placeOf(numbers, finding.analyte, finding.measure, finding.food, finding.comparator);
        place.table = "crossover";
        addCount(rows, place, "n_food_first", finding.result.subjectsAb);
        addCount(rows, place, "n_comparator_first", finding.result.subjectsBa);
        addEffect(rows, place, "food_effect", finding.result.treatment);
        addEffect(rows, place, "period_effect", finding.result.period);
        addEffect(rows, place, "carry_over", finding.result.carryOver);
        place.table = "crossover_subjects";
        const std::string row = place.row;
        for (const CrossoverRow& one : finding.result.rows) {
            place.subject = numbers.subject.at(one.subject);
            place.row = row + ", " + one.subject;
            addWord(rows, place, "sequence",
                    one.sequence == CrossoverSequence::ab ? "food-first" : "comparator-first");
            addNumber(rows, place, "period_1", one.period1);
            addNumber(rows, place, "period_2", one.period2);
            addNumber(rows, place, "sum", one.sum, "too large");
            addNumber(rows, place, "difference", one.difference, "too large");
        }
    }
}

void addIndex(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings) {
    for (const IndexFinding& finding : findings.index) {
        addOneIndex(rows, numbers, finding, "");
    }
    for (const IndexFinding& finding : findings.indexIgnoringExclusions) {
        addOneIndex(rows, numbers, finding, "_ignoring_exclusions");
    }
}

}  // namespace aftercurve
