#include "core/base/number_text.h"
#include "core/findings/adjusted_p.h"
#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"

namespace aftercurve {

namespace {

constexpr const char* noParts =
    "No parts: no curve counts, or the plan names no limit inside the window (\"sub_windows_min\").";

/// What tells the parts of one food apart where a formula reads the other table: rows of the same analyte,
/// food and part are about the same.
RowSubject aboutPart(const std::string& analyte, const std::string& food, double from, double to,
                     const std::string& subject) {
    return {analyte, partKey(from, to), food, subject};
}

std::string remarkOf(const CurvePartFinding& finding, const Plan& plan) {
    if (finding.area.n == 0) {
        return "no curve that counts";
    }
    if (finding.comparator.empty()) {
        return finding.food == plan.comparator ? "the comparator" : "no comparator";
    }
    return finding.difference.absentBecause;
}

}  // namespace

Table subWindowsTable(const Study& study, const Findings& findings) {
    const std::string confidence = confidencePercent(findings.plan.alpha) + " % CI";
    Table table;
    table.key = "sub_windows";
    table.title = "Parts of the window";
    table.emptyText = noParts;
    table.columns = {
        textColumn("analyte", "Analyte"),
        textColumn("food", "Food"),
        textColumn("comparator", "Comparator"),
        numberColumn("from_min", "From", "min", 0),
        numberColumn("to_min", "To", "min", 0),
        countColumn("n", "n", "Subjects with a curve that counts"),
        numberColumn("mean_area", "Mean incremental area", "", 1,
                     "Mean over subjects of the area above baseline in the part, visits averaged first; "
                     "concentration × min",
                     {"sub_windows_curves.area"}),
        numberColumn("sd_area", "SD of the area", "", 1, "SD over subjects", {"sub_windows_curves.area"}),
        numberColumn("mean_increment", "Mean increment", "", 2,
                     "Mean over subjects of net incremental area / length of the part, visits averaged first",
                     {"sub_windows_curves.mean_increment"}),
        numberColumn("sd_increment", "SD of the increment", "", 2, "SD over subjects",
                     {"sub_windows_curves.mean_increment"}),
        numberColumn("increment_ci_low", "Increment, " + confidence + " from", "", 2,
                     "Mean increment − t · SD / √n", {"mean_increment", "sd_increment", "n"}),
        numberColumn("increment_ci_high", "Increment, " + confidence + " to", "", 2,
                     "Mean increment + t · SD / √n", {"mean_increment", "sd_increment", "n"}),
        countColumn("n_pairs", "Pairs", "Subjects with food and comparator"),
        numberColumn("mean_difference", "Mean difference", "", 1,
                     "Mean over the pairs of area of the food − area of the comparator; concentration × min"),
        numberColumn("sd_difference", "SD of differences", "", 1),
        numberColumn("ci_low", confidence + " from", "", 1, "Mean difference − t · SD / √pairs",
                     {"mean_difference", "sd_difference", "n_pairs"}),
        numberColumn("ci_high", confidence + " to", "", 1, "Mean difference + t · SD / √pairs",
                     {"mean_difference", "sd_difference", "n_pairs"}),
        numberColumn("t", "t", "", 2, "Mean difference / (SD / √pairs)",
                     {"mean_difference", "sd_difference", "n_pairs"}),
        numberColumn("df", "df", "", 0, "Pairs − 1", {"n_pairs"}),
        pColumn("p", "p", "P(|T| ≥ |t|), two-sided; hypothesis: the mean difference is 0", {"t", "df"}),
        pColumn("p_adjusted", "Adjusted p",
                "p adjusted over all foods and parts of the analyte: " +
                    adjustmentLabel(findings.plan.multiplicity),
                {"p"}),
        textColumn("remark", "Remark")};
    for (const CurvePartFinding& finding : findings.curvePartFindings) {
        const PairedT& d = finding.difference;
        Row row;
        row.key = finding.analyte + "/" + finding.food + "/" + partKey(finding.fromMin, finding.toMin);
        row.about = aboutPart(finding.analyte, finding.food, finding.fromMin, finding.toMin, "");
        row.muted = finding.area.n == 0;
        row.cells = {finding.analyte,
                     labelOf(study, finding.food),
                     finding.comparator.empty() ? Cell{} : Cell{labelOf(study, finding.comparator)},
                     finding.fromMin,
                     finding.toMin,
                     cellOf(finding.area.n),
                     cellOf(finding.area.meanDifference),
                     cellOf(finding.area.sdDifference),
                     cellOf(finding.increment.meanDifference),
                     cellOf(finding.increment.sdDifference),
                     cellOf(finding.increment.ciLow),
                     cellOf(finding.increment.ciHigh),
                     finding.comparator.empty() ? Cell{} : cellOf(d.n),
                     cellOf(d.meanDifference),
                     cellOf(d.sdDifference),
                     cellOf(d.ciLow),
                     cellOf(d.ciHigh),
                     cellOf(d.t),
                     cellOf(d.df),
                     cellOf(d.p),
                     cellOf(finding.pAdjusted),
                     cellOf(remarkOf(finding, findings.plan))};
        table.rows.push_back(std::move(row));
    }
    if (!table.rows.empty()) {
        table.notes = {"Incremental areas of the parts add up to the incremental area of the window.",
                       "Adjusted p: over all foods and parts of the analyte, apart from the comparison of "
                       "whole windows.",
                       "A p above the level is no evidence that two foods are alike; read the interval."};
    }
    return table;
}

Table subWindowsCurvesTable(const Study& study, const Findings& findings) {
    Table table;
    table.key = "sub_windows_curves";
    table.title = "Parts of the window: each curve";
    table.emptyText = noParts;
    table.columns = {
        textColumn("analyte", "Analyte"),
        textColumn("food", "Food"),
        textColumn("subject", "Subject"),
        countColumn("visit", "Visit"),
        textColumn("unit", "Unit"),
        numberColumn("from_min", "From", "min", 0),
        numberColumn("to_min", "To", "min", 0),
        numberColumn("area", "Incremental area", "", 1,
                     "Area above the window's baseline in the part, by trapezoids with linear crossings and "
                     "linear values at its ends; concentration × min"),
        numberColumn("net_area", "Net incremental area", "", 1,
                     "Area above baseline minus area under it, in the part"),
        numberColumn("mean_increment", "Mean increment", "", 2, "Net incremental area / (to − from)",
                     {"net_area", "from_min", "to_min"}),
        numberColumn("mean_concentration", "Mean concentration", "", 2,
                     "Area above zero in the part / (to − from)"),
        textColumn("remark", "Remark")};
    for (const CurvePart& part : findings.curveParts) {
        const CurveFinding& curve = findings.curves[part.curve];
        const WindowPartMeasures& m = part.measures;
        Row row;
        row.key = curve.analyte + "/" + curve.food + "/" + partKey(part.fromMin, part.toMin) + "/" +
                  curve.subject + "/" + std::to_string(curve.visit);
        row.about = aboutPart(curve.analyte, curve.food, part.fromMin, part.toMin, curve.subject);
        row.file = curve.file;
        row.row = curve.row;
        const bool all = m.area && m.netArea && m.meanIncrement && m.meanConcentration;
        row.cells = {curve.analyte,
                     labelOf(study, curve.food),
                     curve.subject,
                     static_cast<std::int64_t>(curve.visit),
                     cellOf(unitOfAnalyte(study, curve.analyte)),
                     part.fromMin,
                     part.toMin,
                     cellOf(m.area),
                     cellOf(m.netArea),
                     cellOf(m.meanIncrement),
                     cellOf(m.meanConcentration),
                     all ? Cell{} : Cell{std::string{"too large to be represented"}}};
        table.rows.push_back(std::move(row));
    }
    return table;
}

}  // namespace aftercurve
