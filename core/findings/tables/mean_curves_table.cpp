#include "core/base/number_text.h"
#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"

namespace aftercurve {

Table meanCurvesTable(const Study& study, const Findings& findings) {
    const std::string confidence = confidencePercent(findings.plan.alpha) + " % CI";
    Table table;
    table.key = "mean_curves";
    table.title = "Mean curves";
    table.emptyText = "No curve counts yet.";
    table.columns = {
        textColumn("analyte", "Analyte"),
        textColumn("food", "Food"),
        textColumn("unit", "Unit"),
        numberColumn("time_min", "Time", "min", 0),
        countColumn("n", "n", "Subjects with a value at this time"),
        numberColumn("mean", "Mean", "", 2),
        numberColumn("sem", "SEM", "", 2),
        numberColumn("sd", "SD", "", 2),
        numberColumn("ci_low", confidence + " from", "", 2, "Mean − t · SEM"),
        numberColumn("ci_high", confidence + " to", "", 2, "Mean + t · SEM"),
        numberColumn("increment", "Increment", "", 2, "Mean of value minus the curve's own baseline"),
        numberColumn("increment_sem", "SEM of increment", "", 2)};
    for (const MeanCurve& curve : findings.meanCurves) {
        for (std::size_t i = 0; i < curve.timeMin.size(); ++i) {
            Row row;
            row.key = curve.analyte + "/" + curve.food + "/" + plainNumber(curve.timeMin[i]);
            row.cells = {curve.analyte,
                         labelOf(study, curve.food),
                         cellOf(unitOfAnalyte(study, curve.analyte)),
                         curve.timeMin[i],
                         cellOf(curve.n[i]),
                         curve.mean[i],
                         cellOf(curve.sem[i]),
                         cellOf(curve.sd[i]),
                         cellOf(curve.ciLow[i]),
                         cellOf(curve.ciHigh[i]),
                         curve.increment[i],
                         cellOf(curve.incrementSem[i])};
            table.rows.push_back(std::move(row));
        }
        for (const std::string& note : curve.notes) {
            table.notes.push_back(labelOf(study, curve.food) + ", " + curve.analyte + ": " + note + ".");
        }
    }
    return table;
}

}  // namespace aftercurve
