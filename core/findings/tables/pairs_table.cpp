#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"

namespace aftercurve {

Table pairsTable(const Study& study, const Findings& findings) {
    Table table;
    table.key = "pairs";
    table.title = "Each subject's difference";
    table.emptyText = "Nothing is compared yet.";
    table.columns = {textColumn("analyte", "Analyte"),
                     textColumn("measure", "Measure"),
                     textColumn("unit", "Unit"),
                     textColumn("food", "Food"),
                     textColumn("comparator", "Compared with"),
                     textColumn("subject", "Subject"),
                     numberColumn("food_value", "With the food", "", 2),
                     numberColumn("comparator_value", "With the comparator", "", 2),
                     numberColumn("difference", "Difference", "", 2, "Food minus comparator"),
                     textColumn("left_out_because", "Left out because")};
    for (const ComparisonFinding& c : findings.comparisons) {
        const std::string name = c.analyte + "/" + c.measure + "/" + c.food + "/";
        const auto add = [&](const std::string& subject, Cell food, Cell comparator, Cell difference,
                             const std::string& reason) {
            Row row;
            row.key = name + subject;
            row.about = {c.analyte, c.measure, c.food, subject};
            row.muted = !reason.empty();
            row.cells = {c.analyte,
                         measureLabel(c.measure),
                         c.unit,
                         labelOf(study, c.food),
                         labelOf(study, c.comparator),
                         subject,
                         std::move(food),
                         std::move(comparator),
                         std::move(difference),
                         cellOf(reason)};
            table.rows.push_back(std::move(row));
        };
        for (const PairFinding& pair : c.pairs) {
            add(pair.subject, pair.food, pair.comparator, pair.difference, "");
        }
        for (const LeftOutPair& pair : c.leftOut) {
            add(pair.subject, {}, {}, {}, pair.reason);
        }
    }
    return table;
}

}  // namespace aftercurve
