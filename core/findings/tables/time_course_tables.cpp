#include <algorithm>

#include "core/base/number_text.h"
#include "core/findings/adjusted_p.h"
#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"

namespace aftercurve {

namespace {

std::string emptyText(const Plan& plan) {
    return plan.inference.timeCourse == TimeCourseModel::none
               ? "The plan asks for no model of the time course."
               : "No time course: two foods with values at two times that most curves share are needed.";
}

std::string modelText(const TimeCourseFinding& finding) {
    std::string text = finding.value + " at each time; food, time, food × time";
    if (finding.fit.varianceSubject) {
        text += "; random subject";
    }
    if (finding.fit.varianceSubjectFood) {
        text += "; random subject × food";
    }
    if (finding.fit.varianceCurve) {
        text += "; random curve";
    }
    text += finding.model == "ar1" ? "; correlation within a curve falls with the distance of times"
            : finding.model == "unstructured" ? "; a variance for each time, a covariance for each pair"
                                              : "; independent values within a curve";
    return text;
}

}  // namespace

Table timeCourseTable(const Study& study, const Findings& findings) {
    const std::string confidence = confidencePercent(findings.plan.alpha) + " % CI";
    Table table;
    table.key = "time_course";
    table.title = "Foods at each time";
    table.emptyText = emptyText(findings.plan);
    table.columns = {
        textColumn("analyte", "Analyte"),
        textColumn("unit", "Unit"),
        textColumn("quantity", "Quantity", "Mean of a food at a time, or difference of two"),
        textColumn("food", "Food"),
        textColumn("comparator", "Compared with"),
        numberColumn("time_min", "Time", "min", 0),
        countColumn("n", "n", "Values of this food at this time"),
        numberColumn("estimate", "Estimate", "", 3, "Mean by the model, or food − comparator"),
        numberColumn("se", "SE", "", 3),
        numberColumn("df", "df", "", 1, "Satterthwaite"),
        numberColumn("ci_low", confidence + " from", "", 3, "Estimate − t(1 − α/2; df) · SE",
                     {"estimate", "se", "df"}),
        numberColumn("ci_high", confidence + " to", "", 3, "Estimate + t(1 − α/2; df) · SE",
                     {"estimate", "se", "df"}),
        numberColumn("t", "t", "", 2, "Estimate / SE", {"estimate", "se"}),
        pColumn("p", "p", "P(|T| ≥ |t|), two-sided; hypothesis: no difference at this time", {"t", "df"}),
        pColumn("p_adjusted", "p adjusted",
                adjustmentLabel(findings.plan.multiplicity) + ", over the times of one food", {"p"}),
        textColumn("remark", "Remark")};
    for (const TimeCourseFinding& finding : findings.timeCourses) {
        const auto begin = [&](const std::string& key, const std::string& what, std::size_t food,
                               const std::string& comparator, std::size_t time) {
            Row row;
            row.key = finding.analyte + "/" + key + "/" + finding.foods[food] + "/" +
                      plainNumber(finding.timesMin[time]);
            row.about = {finding.analyte, "", finding.foods[food], ""};
            row.cells = {finding.analyte,
                         finding.unit,
                         what,
                         labelOf(study, finding.foods[food]),
                         cellOf(comparator.empty() ? std::string{} : labelOf(study, comparator)),
                         Cell{finding.timesMin[time]}};
            return row;
        };
        for (const TimeCourseDifference& d : finding.fit.differences) {
            Row row = begin("difference", "difference", d.food, finding.comparator, d.time);
            row.muted = !d.p;
            row.cells.insert(row.cells.end(), {Cell{}, cellOf(d.estimate), cellOf(d.se), cellOf(d.df),
                                               cellOf(d.ciLow), cellOf(d.ciHigh), cellOf(d.t), cellOf(d.p),
                                               cellOf(d.pAdjusted), cellOf(d.absentBecause)});
            table.rows.push_back(std::move(row));
        }
        for (const TimeCourseMean& m : finding.fit.means) {
            Row row = begin("mean", "mean", m.food, "", m.time);
            row.muted = !m.estimate;
            row.cells.insert(row.cells.end(), {cellOf(m.values), cellOf(m.estimate), cellOf(m.se),
                                               cellOf(m.df), cellOf(m.ciLow), cellOf(m.ciHigh), Cell{},
                                               Cell{}, Cell{}, cellOf(m.absentBecause)});
            table.rows.push_back(std::move(row));
        }
        if (!finding.fit.absentBecause.empty()) {
            Row row;
            row.key = finding.analyte + "/absent";
            row.about.analyte = finding.analyte;
            row.muted = true;
            row.cells = {finding.analyte, finding.unit};
            row.cells.resize(table.columns.size());
            row.cells.back() = finding.fit.absentBecause;
            table.rows.push_back(std::move(row));
        }
        table.notes.push_back(finding.analyte + ": " + modelText(finding) + ".");
        for (const std::string& note : finding.notes) {
            table.notes.push_back(finding.analyte + ": " + note + ".");
        }
    }
    if (!table.rows.empty()) {
        table.notes.emplace_back(
            "A p above the level is no evidence that two foods are alike at that time; read the interval.");
    }
    return table;
}

Table timeCourseTestsTable(const Study& /*study*/, const Findings& findings) {
    Table table;
    table.key = "time_course_tests";
    table.title = "Food, time, and food by time";
    table.emptyText = emptyText(findings.plan);
    table.columns = {
        textColumn("analyte", "Analyte"),
        textColumn("method", "Method"),
        textColumn("quantity", "Quantity"),
        numberColumn("value", "Value", "", 3, "Variance, correlation, likelihood, or ε"),
        numberColumn("sum_of_squares", "Sum of squares", "", 2),
        numberColumn("error_sum_of_squares", "Error sum of squares", "", 2,
                     "Of the term's own interaction with subject"),
        numberColumn("f", "F", "", 2, "Mixed model: type III. Classical: MS / error MS"),
        numberColumn("num_df", "df", "", 2),
        numberColumn("den_df", "df below", "", 2),
        pColumn("p", "p", "P(F > f); hypothesis: the term makes no difference", {"f", "num_df", "den_df"}),
        textColumn("remark", "Remark")};
    for (const TimeCourseFinding& finding : findings.timeCourses) {
        const auto add = [&](const std::string& key, const std::string& method, const std::string& what,
                             std::vector<Cell> cells, const std::string& remark) {
            Row row;
            row.key = finding.analyte + "/" + key + "/" + what;
            row.about.analyte = finding.analyte;
            row.cells = {finding.analyte, method, what};
            row.cells.insert(row.cells.end(), cells.begin(), cells.end());
            row.cells.push_back(cellOf(remark));
            row.muted = std::all_of(cells.begin(), cells.end(), [](const Cell& cell) {
                return std::holds_alternative<std::monostate>(cell);
            });
            table.rows.push_back(std::move(row));
        };
        const TimeCourse& fit = finding.fit;
        const std::string model = "mixed model";
        for (const TimeCourseTerm& term : fit.terms) {
            add("model", model, term.term,
                {Cell{}, Cell{}, Cell{}, cellOf(term.f), Cell{static_cast<double>(term.numeratorDf)},
                 cellOf(term.denominatorDf), cellOf(term.p)},
                term.absentBecause);
        }
        const auto value = [&](const std::string& what, const std::optional<double>& number) {
            if (number) {
                add("model", model, what, {cellOf(number), Cell{}, Cell{}, Cell{}, Cell{}, Cell{}, Cell{}},
                    "");
            }
        };
        value("variance of subjects", fit.varianceSubject);
        value("variance of subject × food", fit.varianceSubjectFood);
        value("variance of curves", fit.varianceCurve);
        value("variance of residuals", fit.varianceResidual);
        if (fit.rho && fit.rhoUnitMin) {
            value("correlation at " + plainNumber(*fit.rhoUnitMin) + " min apart", fit.rho);
        }
        value("log restricted likelihood", fit.remlLogLikelihood);
        value("AIC", fit.aic);
        value("BIC", fit.bic);
        for (std::size_t i = 0; i < fit.withinTimes.size(); ++i) {
            value("variance at " + plainNumber(finding.timesMin[fit.withinTimes[i]]) + " min",
                  fit.withinCovariance[i * fit.withinTimes.size() + i]);
        }
        const RepeatedMeasures& classical = finding.classical;
        const std::string plain = "repeated measures, n = " + std::to_string(classical.subjects);
        for (const RepeatedMeasuresTerm& term : classical.terms) {
            const Cell df{static_cast<double>(term.df)};
            const Cell below{static_cast<double>(term.errorDf)};
            add("classical", plain, term.term,
                {Cell{}, cellOf(term.sumOfSquares), cellOf(term.errorSumOfSquares), cellOf(term.f), df, below,
                 cellOf(term.p)},
                term.absentBecause.empty() ? "holds under sphericity" : term.absentBecause);
            const auto corrected = [&](const char* key, const std::string& name,
                                       const std::optional<double>& epsilon, const std::optional<double>& p) {
                if (epsilon) {
                    const double used = std::min(*epsilon, 1.0);
                    add(key, name, term.term,
                        {cellOf(epsilon), Cell{}, Cell{}, cellOf(term.f),
                         Cell{used * static_cast<double>(term.df)},
                         Cell{used * static_cast<double>(term.errorDf)}, cellOf(p)},
                        *epsilon > 1.0 ? "ε above 1 counts as 1" : "");
                }
            };
            corrected("greenhouse_geisser", "Greenhouse–Geisser", term.epsilonGreenhouseGeisser,
                      term.pGreenhouseGeisser);
            corrected("huynh_feldt", "Huynh–Feldt", term.epsilonHuynhFeldt, term.pHuynhFeldt);
            if (term.mauchlyW) {
                add("mauchly", "sphericity (Mauchly)", term.term,
                    {cellOf(term.mauchlyW), Cell{}, Cell{}, Cell{}, Cell{static_cast<double>(term.mauchlyDf)},
                     Cell{}, cellOf(term.mauchlyP)},
                    "value: W; little power in small studies, it must not choose the p");
            }
        }
        if (!classical.absentBecause.empty()) {
            add("classical", plain, "absent", {Cell{}, Cell{}, Cell{}, Cell{}, Cell{}, Cell{}, Cell{}},
                classical.absentBecause);
        }
        for (const IncompleteSubject& left : classical.leftOut) {
            add("left_out", plain, "left out: subject " + finding.subjects[left.subject],
                {Cell{}, Cell{}, Cell{}, Cell{}, Cell{}, Cell{}, Cell{}}, left.reason);
        }
        for (const std::string& note : classical.notes) {
            table.notes.push_back(finding.analyte + ", repeated measures: " + note + ".");
        }
    }
    return table;
}

}  // namespace aftercurve
