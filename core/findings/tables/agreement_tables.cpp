#include "core/base/number_text.h"
#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"

namespace aftercurve {

Table agreementTable(const Study& study, const Findings& findings) {
    const std::string confidence = confidencePercent(findings.plan.alpha) + " % CI";
    Table table;
    table.key = "agreement";
    table.title = "Limits of agreement";
    table.emptyText = "Nothing is compared yet.";
    table.columns = {
        textColumn("analyte", "Analyte"),
        textColumn("measure", "Measure"),
        textColumn("unit", "Unit"),
        textColumn("food", "Food"),
        textColumn("comparator", "Compared with"),
        countColumn("n", "n", "Subjects with both"),
        numberColumn("mean_difference", "Mean difference", "", 2, "Food minus comparator"),
        numberColumn("ci_low", confidence + " from", "", 2),
        numberColumn("ci_high", confidence + " to", "", 2),
        numberColumn("sd_difference", "SD of the differences", "", 2),
        numberColumn("lower_limit", "Lower limit", "", 2, "Mean difference − 1.96 SD"),
        numberColumn("lower_limit_low", confidence + " of it, from", "", 2, "Limit ± t · √(3 SD²/n)"),
        numberColumn("lower_limit_high", confidence + " of it, to", "", 2, "Limit ± t · √(3 SD²/n)"),
        numberColumn("upper_limit", "Upper limit", "", 2, "Mean difference + 1.96 SD"),
        numberColumn("upper_limit_low", confidence + " of it, from", "", 2, "Limit ± t · √(3 SD²/n)"),
        numberColumn("upper_limit_high", confidence + " of it, to", "", 2, "Limit ± t · √(3 SD²/n)"),
        textColumn("remark", "Remark")};
    for (const AgreementFinding& finding : findings.agreement) {
        const Agreement& limits = finding.limits;
        Row row;
        row.key = finding.analyte + "/" + finding.measure + "/" + finding.food;
        row.about = {finding.analyte, finding.measure, finding.food, ""};
        row.muted = !limits.lowerLimit;
        row.cells = {finding.analyte,
                     measureLabel(finding.measure),
                     finding.unit,
                     labelOf(study, finding.food),
                     labelOf(study, finding.comparator),
                     cellOf(limits.n),
                     cellOf(limits.meanDifference),
                     cellOf(limits.meanLow),
                     cellOf(limits.meanHigh),
                     cellOf(limits.sdDifference),
                     cellOf(limits.lowerLimit),
                     cellOf(limits.lowerLimitLow),
                     cellOf(limits.lowerLimitHigh),
                     cellOf(limits.upperLimit),
                     cellOf(limits.upperLimitLow),
                     cellOf(limits.upperLimitHigh),
                     cellOf(limits.absentBecause)};
        table.rows.push_back(std::move(row));
    }
    if (!table.rows.empty()) {
        table.notes.push_back(
            "About 19 of 20 differences lie between the limits where they are near normal and do not hang on "
            "the size of the values; the figure shows whether they do. Limits say nothing about "
            "equivalence.");
    }
    return table;
}

Table agreementSubjectsTable(const Study& study, const Findings& findings) {
    Table table;
    table.key = "agreement_subjects";
    table.title = "Difference against mean";
    table.emptyText = "Nothing is compared yet.";
    table.columns = {textColumn("analyte", "Analyte"),
                     textColumn("measure", "Measure"),
                     textColumn("unit", "Unit"),
                     textColumn("food", "Food"),
                     textColumn("comparator", "Compared with"),
                     textColumn("subject", "Subject"),
                     numberColumn("mean", "Mean of the two", "", 2),
                     numberColumn("difference", "Difference", "", 2, "Food minus comparator")};
    for (const AgreementFinding& finding : findings.agreement) {
        for (const AgreementPoint& point : finding.points) {
            Row row;
            row.key = finding.analyte + "/" + finding.measure + "/" + finding.food + "/" + point.subject;
            row.about = {finding.analyte, finding.measure, finding.food, point.subject};
            row.cells = {finding.analyte,
                         measureLabel(finding.measure),
                         finding.unit,
                         labelOf(study, finding.food),
                         labelOf(study, finding.comparator),
                         point.subject,
                         point.mean,
                         point.difference};
            table.rows.push_back(std::move(row));
        }
    }
    return table;
}

}  // namespace aftercurve
