#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"

namespace aftercurve {

Table evidenceTable(const Study& study, const Findings& findings) {
    Table table;
    table.key = "evidence";
    table.title = "What an authority asks";
    table.emptyText = findings.plan.comparator.empty()
                          ? "Nothing to hold against it: the plan has no comparator."
                          : "Nothing to hold against it: no food has the role \"test\".";
    table.columns = {
        textColumn("food", "Food"),
        textColumn("point", "Point"),
        textColumn(
            "status", "Status",
            "shown: a fact that is there, or p (adjusted where it is) below alpha in the direction "
            "asked; not shown: not so, which does not disprove it; missing; look: a person has to judge"),
        textColumn("asked", "Asked"),
        textColumn("study_has", "Study has",
                   "In words; the numbers are those of the tables comparisons, time_course, sensitivity, "
                   "exclusions_effect and plan_registered, and of the food's composition"),
        textColumn("source", "Source"),
        textColumn("basis", "Basis", "read: seen in a text; from memory: recalled, to be checked"),
        textColumn("remark", "Remark")};
    table.columns[4].inputs = {"pairs.difference"};
    for (const EvidenceFinding& finding : findings.evidence) {
        Row row;
        row.key = "glucose/" + finding.food + "/" + finding.point;
        row.about = {finding.analyte, finding.measure, finding.food, ""};
        row.muted = finding.status == EvidenceStatus::missing;
        row.cells = {labelOf(study, finding.food),
                     finding.words,
                     std::string{wordFor(finding.status)},
                     finding.asked,
                     cellOf(finding.has),
                     finding.source,
                     std::string{wordFor(finding.basis)},
                     cellOf(finding.remark)};
        table.rows.push_back(std::move(row));
    }
    if (!table.rows.empty()) {
        table.notes = {"This table advises nobody that a claim is allowed. " + evidenceClosingSentence(),
                       "The list of points is not complete, and an authority may weigh them otherwise."};
    }
    return table;
}

}  // namespace aftercurve
