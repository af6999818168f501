// Digestion in vitro beside the response in people, one row a pair of quantities.
#include "core/base/number_text.h"
#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"

namespace aftercurve {

namespace {

std::string withUnit(const BridgeQuantity& quantity) {
    return quantity.label + (quantity.unit.empty() ? "" : " (" + quantity.unit + ")");
}

std::string foodsText(const Study& study, const BridgeFinding& finding) {
    std::string text;
    for (const BridgePoint& point : finding.points) {
        text += (text.empty() ? "" : ", ") + labelOf(study, point.food);
    }
    return text;
}

std::string remarkOf(const Study& study, const BridgeFinding& finding) {
    std::string text;
    const auto add = [&text](const std::string& more) {
        if (!more.empty() && text.find(more) == std::string::npos) {
            text += (text.empty() ? "" : "; ") + more;
        }
    };
    add(finding.pearson.absentBecause);
    add(finding.pearson.pAbsentBecause);
    add(finding.pearson.intervalAbsentBecause);
    add(finding.spearman.pAbsentBecause);
    add(finding.deming.absentBecause);
    add(finding.deming.intervalAbsentBecause);
    for (const std::string& food : finding.leftOut) {
        add("left out: " + labelOf(study, food) + ", one of the two only");
    }
    return text;
}

}  // namespace

Table bridgeTable(const Study& study, const Findings& findings) {
    const std::string confidence = confidencePercent(findings.plan.alpha) + " % CI";
    Table table;
    table.key = "bridge";
    table.title = "Digestion in vitro and response in people";
    table.emptyText = findings.bridge.absentBecause.empty()
                          ? std::string{"No digestion in vitro beside a response in people."}
                          : "Not compared: " + findings.bridge.absentBecause + ".";
    table.columns = {
        textColumn("x", "In vitro (x)"),
        textColumn("y", "In people (y)"),
        countColumn("n", "Foods", "Foods with both"),
        numberColumn("r", "r", "", 3, "Pearson, Sxy/√(Sxx·Syy)"),
        numberColumn("r_ci_low", confidence + " from", "", 3, "Fisher's z, from 4 foods", {"r", "n"}),
        numberColumn("r_ci_high", confidence + " to", "", 3, "Fisher's z, from 4 foods", {"r", "n"}),
        pColumn("p", "p", "t = r·√((n − 2)/(1 − r²)), two-sided", {"r", "n"}),
        numberColumn("rho", "rho", "", 3, "Spearman, Pearson's r of the ranks"),
        pColumn("rho_p", "p of rho", "Exact up to 9 foods, beyond by t", {"rho", "n"}),
        textColumn("rho_method", "Method"),
        numberColumn("slope", "Slope", "y per x", 3, "Deming line", {"lambda"}),
        numberColumn("slope_ci_low", confidence + " from", "y per x", 3, "Jackknife, t with n − 2",
                     {"slope", "n"}),
        numberColumn("slope_ci_high", confidence + " to", "y per x", 3, "Jackknife, t with n − 2",
                     {"slope", "n"}),
        numberColumn("intercept", "Intercept", "y", 2, "mean y − slope · mean x", {"slope"}),
        numberColumn("intercept_ci_low", confidence + " from", "y", 2, "Jackknife, t with n − 2",
                     {"intercept"}),
        numberColumn("intercept_ci_high", confidence + " to", "y", 2, "Jackknife, t with n − 2",
                     {"intercept"}),
        numberColumn("lambda", "λ", "y² per x²", 3, "Variance of the error of y over that of x"),
        textColumn("lambda_from", "λ from"),
        textColumn("foods", "Which foods"),
        textColumn("permits", "What they permit"),
        textColumn("remark", "Remark")};
    for (const BridgeFinding& one : findings.bridge.pairs) {
        Row row;
        row.key = one.x.key + "/" + one.y.key;
        row.muted = !one.pearson.r;
        const bool line = one.deming.slope.has_value();
        row.cells = {
            withUnit(one.x),
            withUnit(one.y),
            cellOf(one.points.size()),
            cellOf(one.pearson.r),
            cellOf(one.pearson.ciLow),
            cellOf(one.pearson.ciHigh),
            cellOf(one.pearson.p),
            cellOf(one.spearman.rho),
            cellOf(one.spearman.p),
            cellOf(one.spearman.method),
            cellOf(one.deming.slope),
            cellOf(one.deming.slopeLow),
            cellOf(one.deming.slopeHigh),
            cellOf(one.deming.intercept),
            cellOf(one.deming.interceptLow),
            cellOf(one.deming.interceptHigh),
            line ? Cell{one.deming.lambda} : Cell{},
            line ? Cell{std::string{one.lambdaSource == LambdaSource::standardErrors ? "standard errors"
                                                                                     : "spread of the foods"}}
                 : Cell{},
            cellOf(foodsText(study, one)),
            permitsSentence(one, findings.plan.alpha),
            cellOf(remarkOf(study, one))};
        table.rows.push_back(std::move(row));
    }
    if (!table.rows.empty()) {
        table.notes.emplace_back(
            "p is not adjusted: the pairs of quantities share their foods and are read together.");
    }
    return table;
}

}  // namespace aftercurve
