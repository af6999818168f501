#include "core/planning/power_table.h"

namespace aftercurve {

Table powerTable(const PowerCurve& curve) {
    Table table;
    table.key = "power_curve";
    table.title = "Number of subjects";
    Column subjects;
    subjects.key = "subjects";
    subjects.title = "Subjects";
    subjects.kind = ColumnKind::integer;
    Column value;
    value.kind = ColumnKind::number;
    value.decimals = 4;
    if (curve.halfWidth) {
        value.key = "half_width";
        value.title = "Half-width";
        value.unit = curve.unit;
    } else {
        value.key = curve.assurance ? "assurance" : "power";
        value.title = curve.assurance ? "Assurance" : "Power";
    }
    table.columns = {subjects, value};
    for (const PowerPoint& point : curve.points) {
        Row row;
        row.key = std::to_string(point.n);
        row.cells = {static_cast<std::int64_t>(point.n), point.value};
        table.rows.push_back(std::move(row));
    }
    table.emptyText = curve.absentBecause;
    return table;
}

}  // namespace aftercurve
