#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"

namespace aftercurve {

Table summaryTable(const Study& study, const Findings& findings) {
    Table table;
    table.key = "summary";
    table.title = "Measures by food";
    table.emptyText = "No curve counts yet.";
    table.columns = {
        textColumn("analyte", "Analyte"),
        textColumn("measure", "Measure"),
        textColumn("unit", "Unit"),
        textColumn("food", "Food"),
        countColumn("n", "n", "Subjects with a value; replicate visits are averaged first"),
        numberColumn("mean", "Mean", "", 2),
        numberColumn("sd", "SD", "", 2, "Sample standard deviation, n − 1"),
        numberColumn("sem", "SEM", "", 2, "SD / √n"),
        numberColumn("median", "Median", "", 2),
        numberColumn("lower_quartile", "Lower quartile", "", 2, "Linear interpolation of order statistics"),
        numberColumn("upper_quartile", "Upper quartile", "", 2, "Linear interpolation of order statistics"),
        numberColumn("minimum", "Minimum", "", 2),
        numberColumn("maximum", "Maximum", "", 2)};
    for (const FoodSummary& s : findings.summaries) {
        Row row;
        row.key = s.analyte + "/" + s.measure + "/" + s.food;
        row.muted = s.n == 0;
        row.cells = {s.analyte,
                     measureLabel(s.measure),
                     unitOf(measureList()[*measureIndex(s.measure)], unitOfAnalyte(study, s.analyte)),
                     labelOf(study, s.food),
                     cellOf(s.n),
                     cellOf(s.mean),
                     cellOf(s.sd),
                     cellOf(s.sem),
                     cellOf(s.median),
                     cellOf(s.lowerQuartile),
                     cellOf(s.upperQuartile),
                     cellOf(s.minimum),
                     cellOf(s.maximum)};
        table.rows.push_back(std::move(row));
    }
    table.notes = {"Excluded and not estimable curves do not count."};
    return table;
}

}  // namespace aftercurve
