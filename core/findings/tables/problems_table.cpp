#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"

namespace aftercurve {

Table problemsTable(const Study& /*study*/, const Findings& findings) {
    Table table;
    table.key = "problems";
    table.title = "Problems and notes";
    table.emptyText = "Nothing to report.";
    table.columns = {
        textColumn("severity", "Severity"),
        textColumn("where", "Where"),
        textColumn("subject", "Subject"),
        textColumn("text", "What"),
        textColumn("remedy", "What to do"),
        textColumn("check", "Check", "Key of the check that found it (method handbook, Checks)"),
        textColumn("accepted_because", "Accepted because", "A person looked at it and lets it stand")};
    std::size_t number = 0;
    for (const Problem& problem : findings.problems) {
        Row row;
        row.key = std::to_string(number++);
        row.file = problem.file;
        row.row = problem.row;
        row.muted = problem.severity == Severity::note || !problem.acceptedBecause.empty();
        row.cells = {std::string{nameOf(problem.severity)},
                     cellOf(placeOf(problem)),
                     cellOf(problem.subject),
                     problem.what,
                     cellOf(problem.remedy),
                     cellOf(problem.check),
                     cellOf(problem.acceptedBecause)};
        table.rows.push_back(std::move(row));
    }
    return table;
}

}  // namespace aftercurve
