#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"

namespace aftercurve {

namespace {

Row wholeRow(const std::string& key, const std::string& step, std::size_t subjects) {
    Row row;
    row.key = key;
    row.cells = {step, Cell{}, Cell{}, Cell{}, cellOf(subjects), Cell{}, Cell{}};
    return row;
}

void addStage(const Study& study, const FlowStage& stage, Table& table) {
    const std::string place =
        "stage/" + stage.sequence + "/" + std::to_string(stage.period) + "/" + stage.food + "/";
    const auto add = [&](const std::string& key, const std::string& step, std::size_t subjects, Cell visits,
                         const std::string& reason) {
        Row row;
        row.key = place + key;
        row.about.food = stage.food;
        row.cells = {step,
                     cellOf(stage.sequence),
                     stage.period > 0 ? Cell{static_cast<std::int64_t>(stage.period)} : Cell{},
                     labelOf(study, stage.food),
                     cellOf(subjects),
                     std::move(visits),
                     cellOf(reason)};
        table.rows.push_back(std::move(row));
    };
    add("came", "came", stage.came, Cell{}, "");
    if (stage.absent > 0) {
        add("absent", "did not come", stage.absent, Cell{}, "no visit on record");
    }
    for (std::size_t i = 0; i < stage.losses.size(); ++i) {
        const FlowLoss& loss = stage.losses[i];
        add("lost/" + std::to_string(i), "not analysed", loss.subjects, cellOf(loss.visits), loss.reason);
    }
    add("analysed", "analysed", stage.analysed, Cell{}, "");
}

}  // namespace

Table flowTable(const Study& study, const Findings& findings) {
    const StudyFlow& flow = findings.flow;
    Table table;
    table.key = "flow";
    table.title = "From subjects on record to subjects analysed";
    table.emptyText = "No subject is on record.";
    table.columns = {
        textColumn("step", "Step"),
        textColumn("sequence", "Sequence"),
        countColumn("period", "Period"),
        textColumn("food", "Food"),
        countColumn("subjects", "Subjects",
                    "On a row 'not analysed': subjects without a visit there that counts; the one reason is "
                    "that of their first visit"),
        countColumn("visits", "Visits", "Visits that do not count for this reason"),
        textColumn("reason", "Reason", "As the exclusion or the finding says")};
    if (flow.subjects == 0) {
        return table;
    }
    table.rows.push_back(wholeRow("on_record", "on record", flow.subjects));
    table.rows.push_back(wholeRow("without", "without any visit", flow.without));
    std::string sequence;
    for (const FlowStage& stage : flow.stages) {
        if (stage.sequence != sequence) {
            sequence = stage.sequence;
            Row row = wholeRow("sequence/" + sequence, "in this sequence", stage.subjects);
            row.cells[1] = sequence;
            table.rows.push_back(std::move(row));
        }
        addStage(study, stage, table);
    }
    table.rows.push_back(wholeRow("analysed", "analysed with at least one food", flow.analysed));
    table.rows.push_back(wholeRow("complete", "analysed with every food that has a visit", flow.complete));
    for (const std::string& note : flow.notes) {
        table.notes.push_back(note + ".");
    }
    if (!study.analytes.empty()) {
        table.notes.push_back("A subject is analysed where a curve of " + study.analytes.front().id +
                              ", the first analyte of the study, counts.");
    }
    return table;
}

}  // namespace aftercurve
