#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"

namespace aftercurve {

Table registeredTable(const Study& /*study*/, const Findings& findings) {
    Table table;
    table.key = "plan_registered";
    table.title = "Plan as registered, and as run";
    table.emptyText = "No plan was registered. Register it before the values are seen.";
    table.columns = {textColumn("registered_on", "Registered on"),
                     textColumn("choice", "Choice", "Key of the plan in study.json"),
                     textColumn("registered", "As registered"), textColumn("run", "As run"),
                     textColumn("differs", "Differs")};
    for (std::size_t i = 0; i < findings.registered.size(); ++i) {
        const RegisteredFinding& finding = findings.registered[i];
        for (const PlanChoice& choice : finding.choices) {
            Row row;
            row.key = std::to_string(i) + "/" + choice.key;
            row.muted = !choice.differs();
            row.cells = {finding.on, choice.key, cellOf(choice.registered), cellOf(choice.run),
                         yesOrNothing(choice.differs())};
            table.rows.push_back(std::move(row));
        }
        table.notes.push_back(
            "Registered on " + finding.on + (finding.by.empty() ? "" : " by " + finding.by) +
            (finding.note.empty() ? "" : " (" + finding.note + ")") + ", SHA-256 " + finding.sha256 +
            (finding.hashHolds ? "" : ", which does not hold for this plan") + ": " +
            (finding.differences == 0 ? "run as registered."
                                      : std::to_string(finding.differences) + " choices differ."));
    }
    return table;
}

}  // namespace aftercurve
