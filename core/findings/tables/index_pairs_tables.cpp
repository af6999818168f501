#include "core/base/number_text.h"
#include "core/findings/adjusted_p.h"
#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"
#include "core/findings/tables/unmatched_note.h"

namespace aftercurve {

namespace {

std::string remarkOf(const IndexPair& pair) {
    std::string text = pair.t.absentBecause;
    if (!pair.hodgesLehmann.absentBecause.empty()) {
        text += (text.empty() ? "" : "; ") + pair.hodgesLehmann.absentBecause;
    }
    const std::size_t leftOut = pair.subjects.size() - pair.t.n;
    if (leftOut > 0) {
        text += (text.empty() ? "" : "; ") + std::to_string(leftOut) + " left out";
    }
    return text;
}

constexpr const char* noPairs = "No index: the plan asks for none, or there is no reference food.";

}  // namespace

Table indexPairsTable(const Study& study, const Findings& findings) {
    const std::string confidence = confidencePercent(findings.plan.alpha) + " % CI";
    Table table;
    table.key = "index_pairs";
    table.title = "Indices compared";
    table.emptyText = noPairs;
    table.columns = {
        textColumn("analyte", "Analyte"),
        textColumn("food", "Food"),
        textColumn("comparator", "Compared with"),
        countColumn("n", "n", "Subjects with both indices kept"),
        numberColumn("mean_difference", "Mean difference", "", 2,
                     "Sum of the differences / n, food minus comparator, in points of the index",
                     {"n", "index_pair_subjects.difference"}),
        numberColumn("sd_difference", "SD", "", 2, "√(Σ(difference − mean)² / (n − 1))",
                     {"n", "mean_difference", "index_pair_subjects.difference"}),
        numberColumn("ci_low", confidence + " from", "", 2, "Mean difference − t(1 − α/2; df) · SD/√n",
                     {"mean_difference", "sd_difference", "n", "df"}),
        numberColumn("ci_high", confidence + " to", "", 2, "Mean difference + t(1 − α/2; df) · SD/√n",
                     {"mean_difference", "sd_difference", "n", "df"}),
        numberColumn("t", "t", "", 2, "Mean difference / (SD/√n)", {"mean_difference", "sd_difference", "n"}),
        numberColumn("df", "df", "", 0, "n − 1", {"n"}),
        pColumn("p", "p",
                "P(|T| ≥ |t|), paired t, two-sided; hypothesis: the mean difference of the indices is 0",
                {"t", "df"}),
        pColumn("p_adjusted", "p adjusted",
                findings.plan.multiplicity == Multiplicity::none
                    ? std::string{"No adjustment was asked for"}
                    : adjustmentLabel(findings.plan.multiplicity) +
                          ", over all pairs of the analyte, those with the reference among them",
                {"p"}),
        numberColumn("wilcoxon_v", "V", "", 1, "Sum of the ranks of the positive differences",
                     {"index_pair_subjects.difference"}),
        pColumn("wilcoxon_p", "p signed rank",
                "Wilcoxon signed rank, two-sided; hypothesis: symmetric about 0",
                {"wilcoxon_v", "index_pair_subjects.difference"}),
        numberColumn("hodges_lehmann", "Hodges–Lehmann", "", 2,
                     "Median of the pairwise means of the differences", {"index_pair_subjects.difference"}),
        numberColumn("hodges_lehmann_ci_low", "HL from", "", 2, "Interval that inverts the signed rank test",
                     {"index_pair_subjects.difference"}),
        numberColumn("hodges_lehmann_ci_high", "HL to", "", 2, "Interval that inverts the signed rank test",
                     {"index_pair_subjects.difference"}),
        numberColumn("effect_dz", "dz", "", 2, "Mean difference / SD of the differences",
                     {"mean_difference", "sd_difference"}),
        textColumn("remark", "Remark")};
    for (const IndexPair& pair : findings.indexPairs) {
        Row row;
        row.key = pair.analyte + "/" + pair.food + "/" + pair.comparator;
        row.about = {pair.analyte, pair.measure, pair.food, ""};
        row.muted = !pair.t.p;
        row.cells = {pair.analyte,
                     labelOf(study, pair.food),
                     labelOf(study, pair.comparator),
                     cellOf(pair.t.n),
                     cellOf(pair.t.meanDifference),
                     cellOf(pair.t.sdDifference),
                     cellOf(pair.t.ciLow),
                     cellOf(pair.t.ciHigh),
                     cellOf(pair.t.t),
                     cellOf(pair.t.df),
                     cellOf(pair.t.p),
                     cellOf(pair.pAdjusted),
                     cellOf(pair.signedRank.v),
                     cellOf(pair.signedRank.p),
                     cellOf(pair.hodgesLehmann.estimate),
                     cellOf(pair.hodgesLehmann.ciLow),
                     cellOf(pair.hodgesLehmann.ciHigh),
                     cellOf(pair.effect.dz),
                     cellOf(remarkOf(pair))};
        table.rows.push_back(std::move(row));
    }
    if (!table.rows.empty()) {
        table.notes = {
            "Differences are food minus comparator within subjects; against the reference food the "
            "comparator "
            "is 100 in every subject. Both indices of a subject share its reference mean.",
            "A p above the level is no evidence that two foods are alike; read the interval."};
        addUnmatchedNote(study, findings, table.notes);
    }
    return table;
}

Table indexPairSubjectsTable(const Study& study, const Findings& findings) {
    Table table;
    table.key = "index_pair_subjects";
    table.title = "Each subject's difference of indices";
    table.emptyText = noPairs;
    table.columns = {
        textColumn("analyte", "Analyte"),
        textColumn("food", "Food"),
        textColumn("comparator", "Compared with"),
        textColumn("subject", "Subject"),
        numberColumn("food_index", "With the food", "", 1, "Index of the subject", {"index_subjects.value"}),
        numberColumn("comparator_index", "With the comparator", "", 1,
                     "Index of the subject; 100 for the reference food"),
        numberColumn("difference", "Difference", "", 2, "Food minus comparator",
                     {"food_index", "comparator_index"}),
        textColumn("left_out_because", "Left out because")};
    for (const IndexPair& pair : findings.indexPairs) {
        for (const IndexPairSubject& subject : pair.subjects) {
            Row row;
            row.key = pair.analyte + "/" + pair.food + "/" + pair.comparator + "/" + subject.subject;
            row.about = {pair.analyte, pair.measure, pair.food, subject.subject};
            row.muted = !subject.difference;
            row.cells = {pair.analyte,
                         labelOf(study, pair.food),
                         labelOf(study, pair.comparator),
                         subject.subject,
                         cellOf(subject.food),
                         cellOf(subject.comparator),
                         cellOf(subject.difference),
                         cellOf(subject.leftOutBecause)};
            table.rows.push_back(std::move(row));
        }
    }
    return table;
}

}  // namespace aftercurve
