#include <set>

#include "core/base/number_text.h"
#include "core/findings/adjusted_p.h"
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
                      Cell{}, Cell{}, Cell{}, Cell{}, cellOf(mean.absentBecause)});
    return row;
}

/// Null where the difference is none of the family.
const ModelComparison* inFamily(const ModelFinding& model, std::size_t difference) {
    for (const ModelComparison& comparison : model.family.comparisons) {
        if (comparison.difference == difference) {
            return &comparison;
        }
    }
    return nullptr;
}

std::string familyText(const Findings& findings) {
    if (findings.models.empty()) {
        return {};
    }
    const ModelComparisons& family = findings.models.front().family;
    return adjustmentLabel(family.adjustment) + ", over " +
           (family.family == ModelFamily::allPairs ? "all pairs" : "the differences with the comparator") +
           " of one analyte and measure";
}

Row differenceRow(const Study& study, const ModelFinding& model, std::size_t i) {
    const ModelDifference& d = model.fit.differences[i];
    const ModelComparison* family = inFamily(model, i);
    const std::optional<double> none;
    Row row = rowOf(model);
    row.key += "/" + model.foods[d.level] + "/" + model.foods[d.minus];
    row.about.food = model.foods[d.level];
    row.muted = !d.p;
    row.cells.insert(row.cells.end(),
                     {Cell{std::string{"difference"}}, labelOf(study, model.foods[d.level]),
                      labelOf(study, model.foods[d.minus]), cellOf(d.estimate), cellOf(d.se), cellOf(d.df),
                      cellOf(d.ciLow), cellOf(d.ciHigh), cellOf(d.t), cellOf(d.p), cellOf(model.pAdjusted[i]),
                      cellOf(family == nullptr ? none : family->ciLow),
                      cellOf(family == nullptr ? none : family->ciHigh), cellOf(d.absentBecause)});
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
        if (!model.family.computedBy.empty()) {
            tell(model.analyte + ", " + measureLabel(model.measure) + ": probabilities of the family by " +
                 model.family.computedBy + ".");
        }
        if (!model.family.absentBecause.empty()) {
            tell(model.analyte + ", " + measureLabel(model.measure) + ": no adjusted p, " +
                 model.family.absentBecause + ".");
        }
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
    table.columns = {
        textColumn("analyte", "Analyte"),
        textColumn("measure", "Measure"),
        textColumn("unit", "Unit"),
        textColumn("quantity", "Quantity", "Mean of a food, or difference of two means"),
        textColumn("food", "Food"),
        textColumn("comparator", "Compared with"),
        numberColumn("estimate", "Estimate", "", 2,
                     "Mean adjusted for the other factors, or food minus comparator"),
        numberColumn("se", "SE", "", 2, "Standard error"),
        numberColumn("df", "df", "", 1, dfName(findings.plan)),
        numberColumn("ci_low", confidence + " from", "", 2, "Estimate − t(1 − α/2; df) · SE",
                     {"estimate", "se", "df"}),
        numberColumn("ci_high", confidence + " to", "", 2, "Estimate + t(1 − α/2; df) · SE",
                     {"estimate", "se", "df"}),
        numberColumn("t", "t", "", 2, "Estimate / SE", {"estimate", "se"}),
        pColumn("p", "p", "P(|T| ≥ |t|), two-sided; hypothesis: the difference is 0", {"t", "df"}),
        pColumn("p_adjusted", "p adjusted", familyText(findings), {"p"}),
        numberColumn("simultaneous_low", "Family CI from", "", 2,
                     "Interval that holds for the whole family at once", {"estimate", "se", "df"}),
        numberColumn("simultaneous_high", "Family CI to", "", 2,
                     "Interval that holds for the whole family at once", {"estimate", "se", "df"}),
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

Table modelTermsTable(const Study& /*study*/, const Findings& findings) {
    Table table;
    table.key = "model_terms";
    table.title = "Mixed model: factors and variances";
    table.emptyText = "No model: two foods with values are needed.";
    table.columns = {
        textColumn("analyte", "Analyte"),
        textColumn("measure", "Measure"),
        textColumn("quantity", "Quantity"),
        numberColumn("value", "Value", "", 3, "Variance, or logarithm of the restricted likelihood"),
        numberColumn("f", "F", "", 2, "Of the factor given all others (type III)"),
        numberColumn("num_df", "df", "", 0),
        numberColumn("den_df", "df below", "", 1, dfName(findings.plan)),
        pColumn("p", "p", "P(F > f); hypothesis: the factor makes no difference", {"f", "num_df", "den_df"}),
        textColumn("remark", "Remark")};
    for (const ModelFinding& model : findings.models) {
        const MixedModel& fit = model.fit;
        const auto begin = [&](const std::string& what, const std::string& key) {
            Row row;
            row.key = model.analyte + "/" + model.measure + "/" + key;
            row.about = {model.analyte, model.measure, "", ""};
            row.cells = {model.analyte, measureLabel(model.measure), what};
            return row;
        };
        for (const ModelTerm& term : fit.terms) {
            Row row = begin(term.factor, "term/" + term.factor);
            row.muted = !term.p;
            row.cells.insert(row.cells.end(),
                             {Cell{}, cellOf(term.f), Cell{static_cast<double>(term.numeratorDf)},
                              cellOf(term.denominatorDf), cellOf(term.p), cellOf(term.absentBecause)});
            table.rows.push_back(std::move(row));
        }
        const auto value = [&](const std::string& what, const std::string& key,
                               const std::optional<double>& number, const std::string& remark) {
            Row row = begin(what, key);
            row.muted = !number;
            row.cells.insert(row.cells.end(),
                             {cellOf(number), Cell{}, Cell{}, Cell{}, Cell{}, cellOf(remark)});
            table.rows.push_back(std::move(row));
        };
        value("variance of subjects", "variance_subject", fit.varianceSubject,
              fit.boundary ? "at the boundary: 0" : fit.absentBecause);
        value("variance of residuals", "variance_residual", fit.varianceResidual, fit.absentBecause);
        value("log restricted likelihood", "log_likelihood", fit.remlLogLikelihood, fit.absentBecause);
        for (const std::string& dropped : fit.dropped) {
            Row row = begin(dropped, "dropped/" + dropped);
            row.muted = true;
            row.cells.resize(table.columns.size());
            row.cells.back() = std::string{"the design does not determine it"};
            table.rows.push_back(std::move(row));
        }
    }
    table.notes = notesOf(findings);
    return table;
}

}  // namespace aftercurve
