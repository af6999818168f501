#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"

namespace aftercurve {

namespace {

std::string whyNoRules(const Findings& findings) {
    if (!findings.plan.index) {
        return "Nothing to hold against the rules: the plan asks for no index.";
    }
    return findings.index.empty()
               ? "Nothing to hold against the rules: there is no index. Give one food the role \"reference\"."
               : "Nothing to hold against the rules: they are about glucose, which this study does not have.";
}

}  // namespace

Table conformityTable(const Study& study, const Findings& findings) {
    Table table;
    table.key = "conformity";
    table.title = "Against the published rules";
    table.emptyText = whyNoRules(findings);
    table.columns = {
        textColumn("standard", "Rule", "The plan's own comes first"),
        textColumn("requirement", "Asks about"),
        textColumn("food", "Food"),
        textColumn("status", "Status",
                   "met, not met, not stated (the study does not say), look (a person has to judge), "
                   "not applicable (no requirement)"),
        textColumn("asked", "Asked"),
        textColumn("study_has", "Study has",
                   "From the plan, the curves that count, and what the study states"),
        textColumn("source", "Source", "Rule, clause where known, and where its text was seen"),
        textColumn("basis", "Basis", "read: seen in a text; from memory: recalled, to be checked"),
        textColumn("remark", "Remark")};
    for (const ConformityFinding& finding : findings.conformity) {
        Row row;
        row.key = std::string{wordFor(finding.standard)} + "/" + finding.requirement +
                  (finding.food.empty() ? "" : "/" + finding.food);
        row.about = {"glucose", findings.plan.measure, finding.food, ""};
        row.muted = finding.status == ConformityStatus::notApplicable;
        row.cells = {std::string{rulesOf(finding.standard).title},
                     finding.words,
                     finding.food.empty() ? Cell{} : Cell{labelOf(study, finding.food)},
                     std::string{wordFor(finding.status)},
                     finding.asked,
                     cellOf(finding.has),
                     finding.source,
                     std::string{wordFor(finding.basis)},
                     cellOf(finding.remark)};
        table.rows.push_back(std::move(row));
    }
    if (!table.rows.empty()) {
        table.notes = {
            "What a rule does not say, or what is not known of it here, has no row. What is marked "
            "'from memory' was not seen in a text: look it up before it is relied on.",
            "Texts of the study are shown, not judged."};
        for (const IndexStandardRules& rules : indexStandards()) {
            table.notes.push_back(std::string{rules.title} + ": " + std::string{rules.citation} + ".");
        }
    }
    return table;
}

}  // namespace aftercurve
