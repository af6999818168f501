#include "core/base/number_text.h"
#include "core/findings/margin_words.h"
#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"

namespace aftercurve {

namespace {

const char* scaleKey(MarginScale scale) {
    switch (scale) {
        case MarginScale::meanDifference:
            return "difference";
        case MarginScale::geometricMeanRatio:
            return "geometric_ratio";
        case MarginScale::ratioOfMeans:
            return "ratio";
    }
    return "";
}

std::string reasons(const std::string& first, const std::string& second) {
    return first + (first.empty() || second.empty() ? "" : "; ") + second;
}

}  // namespace

Table marginsTable(const Study& study, const Findings& findings) {
    const double alpha = findings.plan.alpha;
    const std::string equivalenceConfidence = confidencePercent(2.0 * alpha);
    Table table;
    table.key = "margins";
    table.title = "Equivalence and non-inferiority";
    table.emptyText =
        "The plan names no margins. They come from the protocol: what is too small to matter, said before "
        "the "
        "values are seen.";
    table.columns = {
        textColumn("analyte", "Analyte"),
        textColumn("measure", "Measure"),
        textColumn("unit", "Unit"),
        textColumn("food", "Food"),
        textColumn("comparator", "Compared with"),
        textColumn("question", "Question"),
        countColumn("n", "n", "Subjects with both foods"),
        numberColumn("margin_low", "Margin from", "", 3, "From the plan"),
        numberColumn("margin_high", "Margin to", "", 3, "From the plan"),
        numberColumn("estimate", "Estimate", "", 3, "Food minus comparator, or food over comparator",
                     {"n", "pairs.food_value", "pairs.comparator_value"}),
        numberColumn("ci_low", "Interval from", "", 3, "Confidence as named in the row", {"estimate", "df"}),
        numberColumn("ci_high", "Interval to", "", 3, "Confidence as named in the row", {"estimate", "df"}),
        textColumn("confidence", "Confidence"),
        numberColumn("df", "df", "", 0),
        numberColumn("t_low", "t, low margin", "", 2, "(Estimate − low margin) / SE on the scale of the row",
                     {"estimate", "margin_low"}),
        numberColumn("t_high", "t, high margin", "", 2,
                     "(Estimate − high margin) / SE on the scale of the row", {"estimate", "margin_high"}),
        pColumn("p_low", "p, low margin", "One-sided; hypothesis: at or below the low margin",
                {"t_low", "df"}),
        pColumn("p_high", "p, high margin", "One-sided; hypothesis: at or above the high margin",
                {"t_high", "df"}),
        pColumn("p", "p", "The larger of the two; hypothesis: at or beyond a margin", {"p_low", "p_high"}),
        textColumn("verdict", "Verdict"),
        textColumn("remark", "Remark")};
    for (const MarginFinding& m : findings.companions.margins) {
        const Equivalence& e = m.result;
        Row row;
        row.key = m.analyte + "/" + m.measure + "/" + m.food + "/" + scaleKey(m.scale);
        row.about = {m.analyte, m.measure, m.food, ""};
        row.muted = !e.p;
        row.cells = {m.analyte,
                     measureLabel(m.measure),
                     cellOf(m.unit),
                     labelOf(study, m.food),
                     labelOf(study, m.comparator),
                     std::string{"equivalence, "} + labelOf(m.scale),
                     cellOf(e.n),
                     Cell{m.low},
                     Cell{m.high},
                     cellOf(e.estimate),
                     cellOf(e.ciLow),
                     cellOf(e.ciHigh),
                     equivalenceConfidence + " %",
                     cellOf(e.df),
                     cellOf(e.tLow),
                     cellOf(e.tHigh),
                     cellOf(e.pLow),
                     cellOf(e.pHigh),
                     cellOf(e.p),
                     std::string{verdictWords(e.verdict)},
                     cellOf(reasons(e.absentBecause, e.intervalAbsentBecause))};
        table.rows.push_back(std::move(row));
    }
    for (const NonInferiorityFinding& m : findings.companions.nonInferiority) {
        const OneSidedMargin& e = m.result;
        const bool low = e.limit && *e.limit < 0.0;
        const std::optional<double> none;
        Row row;
        row.key = m.analyte + "/" + m.measure + "/" + m.food + "/non_inferiority";
        row.about = {m.analyte, m.measure, m.food, ""};
        row.muted = !e.p;
        row.cells = {m.analyte,
                     measureLabel(m.measure),
                     cellOf(m.unit),
                     labelOf(study, m.food),
                     labelOf(study, m.comparator),
                     std::string{"non-inferiority, mean difference"},
                     cellOf(e.n),
                     cellOf(low ? e.limit : none),
                     cellOf(low ? none : e.limit),
                     cellOf(e.estimate),
                     cellOf(e.ciLow),
                     cellOf(e.ciHigh),
                     confidencePercent(alpha) + " %",
                     cellOf(e.df),
                     cellOf(low ? e.t : none),
                     cellOf(low ? none : e.t),
                     cellOf(low ? e.p : none),
                     cellOf(low ? none : e.p),
                     cellOf(e.p),
                     std::string{verdictWords(e.verdict, MarginClaim::nonInferiority)},
                     cellOf(reasons(e.absentBecause, e.intervalAbsentBecause))};
        table.rows.push_back(std::move(row));
    }
    if (!table.rows.empty()) {
        table.notes = {"Equivalence: two one-sided tests, each at " + plainNumber(alpha) +
                           "; it is shown where the " + equivalenceConfidence +
                           " % interval lies between the margins. Non-inferiority: one-sided at " +
                           plainNumber(alpha / 2.0) + ". The foods are not adjusted for one another.",
                       "Equivalence that is not shown is no evidence of a difference, and a difference that "
                       "is not found is "
                       "no evidence of equivalence."};
    }
    return table;
}

}  // namespace aftercurve
