#include <set>

#include "core/base/number_text.h"
#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"

namespace aftercurve {

namespace {

/// The cells that say which model a row belongs to, and the key to begin with.
Row rowOf(const ModelFinding& model) {
    Row row;
    row.key = model.analyte + "/" + model.measure;
    row.about = {model.analyte, model.measure, "", ""};
    row.cells = {model.analyte, measureLabel(model.measure), model.unit};
    return row;
}

Row absentRow(const ModelFinding& model, std::size_t columns) {
    Row row = rowOf(model);
    row.muted = true;
    row.cells.resize(columns);
    row.cells.back() = model.fit.absentBecause;
    return row;
}

Row meanRow(const Study& study, const ModelFinding& model, const ModelMean& mean) {
    Row row = rowOf(model);
    const std::string& food = model.foods[mean.level];
    row.key += "/" + food;
    row.muted = !mean.estimate;
    row.cells.insert(row.cells.end(),
                     {Cell{std::string{"mean"}}, labelOf(study, food), Cell{}, cellOf(mean.estimate),
                      cellOf(mean.se), cellOf(mean.df), cellOf(mean.ciLow), cellOf(mean.ciHigh), Cell{},
                      Cell{}, Cell{}, cellOf(mean.absentBecause)});
    return row;
}

Row differenceRow(const Study& study, const ModelFinding& model, std::size_t i) {
    const ModelDifference& d = model.fit.differences[i];
    Row row = rowOf(model);
    row.key += "/" + model.foods[d.level] + "/" + model.foods[d.minus];
    row.muted = !d.p;
    row.cells.insert(row.cells.end(), {Cell{std::string{"difference"}}, labelOf(study, model.foods[d.level]),
                                       labelOf(study, model.foods[d.minus]), cellOf(d.estimate), cellOf(d.se),
                                       cellOf(d.df), cellOf(d.ciLow), cellOf(d.ciHigh), cellOf(d.t),
                                       cellOf(d.p), cellOf(model.pAdjusted[i]), cellOf(d.absentBecause)});
    return row;
}

std::string dfName(const Plan& plan) {
    return plan.inference.modelDf == ModelDf::kenwardRoger ? "Kenward–Roger" : "Satterthwaite";
}

std::vector<std::string> notesOf(const Findings& findings) {
    std::vector<std::string> notes;
    std::set<std::string> told;
    const auto tell = [&](const std::string& note) {
        if (told.insert(note).second) {
            notes.push_back(note);
        }
    };
    for (const ModelFinding& model : findings.models) {
        tell(model.analyte + ", " + measureLabel(model.measure) + ": " + model.formula +
             ", by REML; degrees of freedom by " + dfName(findings.plan) + ".");
        for (const std::string& note : model.notes) {
            tell(model.analyte + ", " + measureLabel(model.measure) + ": " + note + ".");
        }
    }
    if (!findings.models.empty()) {
        tell(
            "Means have equal weight over periods and sequences; a missing visit has no row and is not "
            "filled in.");
        tell("A p above the level is no evidence that two foods are alike; read the interval.");
    }
    return notes;
}

}  // namespace

Table modelTable(const Study& study, const Findings& findings) {
    const std::string confidence = confidencePercent(findings.plan.alpha) + " % CI";
    Table table;
    table.key = "model";
    table.title = "Mixed model";
    table.emptyText = "No model: two foods with values are needed.";
    table.columns = {textColumn("analyte", "Analyte"),
                     textColumn("measure", "Measure"),
                     textColumn("unit", "Unit"),
                     textColumn("quantity", "Quantity", "Mean of a food, or difference of two means"),
                     textColumn("food", "Food"),
                     textColumn("comparator", "Compared with"),
                     numberColumn("estimate", "Estimate", "", 2,
                                  "Mean adjusted for the other factors, or food minus comparator"),
                     numberColumn("se", "SE", "", 2, "Standard error"),
                     numberColumn("df", "df", "", 1, dfName(findings.plan)),
                     numberColumn("ci_low", confidence + " from", "", 2, "Estimate − t · SE"),
                     numberColumn("ci_high", confidence + " to", "", 2, "Estimate + t · SE"),
                     numberColumn("t", "t", "", 2, "Estimate / SE"),
                     pColumn("p", "p", "Two-sided; hypothesis: the difference is 0"),
                     pColumn("p_adjusted", "p adjusted",
                             findings.plan.multiplicity == Multiplicity::holm
                                 ? "Holm, over the differences with the comparator of one analyte and measure"
                                 : "No adjustment was asked for"),
                     textColumn("remark", "Remark")};
    for (const ModelFinding& model : findings.models) {
        if (!model.fit.absentBecause.empty()) {
            table.rows.push_back(absentRow(model, table.columns.size()));
        }
        for (const ModelMean& mean : model.fit.means) {
            table.rows.push_back(meanRow(study, model, mean));
        }
        for (std::size_t i = 0; i < model.fit.differences.size(); ++i) {
            table.rows.push_back(differenceRow(study, model, i));
        }
    }
    table.notes = notesOf(findings);
    return table;
}

}  // namespace aftercurve
