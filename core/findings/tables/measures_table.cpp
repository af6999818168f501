#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"

namespace aftercurve {

namespace {

std::string remarkOf(const CurveFinding& curve) {
    std::string text;
    const auto add = [&text](const std::string& part) { text += (text.empty() ? "" : "; ") + part; };
    if (curve.excluded) {
        add("excluded: " + curve.excludedBecause);
    }
    if (!curve.notEstimable.empty()) {
        add("not estimable: " + curve.notEstimable);
    }
    for (const std::string& note : curve.notes) {
        add(note);
    }
    return text;
}

int decimalsOf(MeasureUnit unit) {
    switch (unit) {
        case MeasureUnit::concentration:
            return 2;
        case MeasureUnit::concentrationPerMinute:
            return 3;
        case MeasureUnit::concentrationMinutes:
        case MeasureUnit::minutes:
            break;
    }
    return 1;
}

}  // namespace

Table measuresTable(const Study& study, const Findings& findings) {
    Table table;
    table.key = "measures";
    table.title = "Measures of each curve";
    table.emptyText = "No curve yet: the samples file has no rows.";
    table.columns = {textColumn("subject", "Subject"),
                     textColumn("food", "Food"),
                     countColumn("visit", "Visit"),
                     countColumn("period", "Period"),
                     textColumn("analyte", "Analyte"),
                     textColumn("unit", "Unit"),
                     countColumn("samples", "Samples", "Samples with a value, fasting ones included"),
                     numberColumn("baseline", "Baseline", "", 2, "Value before eating, by the plan's rule")};
    for (const Measure& measure : measureList()) {
        const int decimals = decimalsOf(measure.unit);
        table.columns.push_back(numberColumn(std::string{measure.key}, std::string{measure.label},
                                             measure.unit == MeasureUnit::minutes ? "min" : "", decimals,
                                             std::string{measure.definition}));
    }
    table.columns.push_back(textColumn("remark", "Remark"));
    for (const CurveFinding& curve : findings.curves) {
        Row row;
        row.key = curve.analyte + "/" + curve.subject + "/" + curve.food + "/" + std::to_string(curve.visit);
        row.file = curve.file;
        row.row = curve.row;
        row.muted = !curve.counts();
        row.cells = {curve.subject,
                     labelOf(study, curve.food),
                     static_cast<std::int64_t>(curve.visit),
                     curve.period > 0 ? Cell{static_cast<std::int64_t>(curve.period)} : Cell{},
                     curve.analyte,
                     cellOf(unitOfAnalyte(study, curve.analyte)),
                     cellOf(curve.value.size()),
                     cellOf(curve.baseline)};
        for (const std::optional<double>& value : curve.measures) {
            row.cells.push_back(cellOf(value));
        }
        row.cells.push_back(cellOf(remarkOf(curve)));
        table.rows.push_back(std::move(row));
    }
    table.notes = {
        "Areas in concentration × min, baseline, peaks and means in the unit of the row, rates in that unit "
        "a minute."};
    return table;
}

}  // namespace aftercurve
