// Adverse events as written, and their counts. No cause is claimed.
#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"

namespace aftercurve {

namespace {

constexpr const char* noEvents =
    "No adverse event stands in study.json (diary.events). That none is listed is no proof that none "
    "occurred.";

void addCaution(Table& table) {
    if (table.rows.empty()) {
        return;
    }
    table.notes.emplace_back(
        "Events are listed as written, whatever their cause: a count says nothing about whether a food "
        "caused "
        "them. The relation is the judgement of the physician of the study.");
    table.notes.emplace_back(
        "A study in people needs medical oversight: events are reported to the physician of the study, the "
        "ethics "
        "committee and the authority as the protocol and local rules ask. This table replaces no such "
        "report.");
    table.notes.emplace_back("Exclusions take no event out.");
}

/// An event may name a food that the study does not have, or none.
Cell foodCell(const Study& study, const std::string& food) {
    return food.empty() ? Cell{} : Cell{labelOf(study, food)};
}

}  // namespace

Table adverseEventsTable(const Study& study, const Findings& findings) {
    Table table;
    table.key = "adverse_events";
    table.title = "Adverse events";
    table.emptyText = noEvents;
    table.columns = {textColumn("subject", "Subject"),
                     textColumn("food", "Food"),
                     countColumn("day", "Day"),
                     textColumn("what", "Event"),
                     textColumn("severity", "Severity"),
                     textColumn("serious", "Serious", "As the physician judged; not the same as severe"),
                     textColumn("related", "Relation", "As the physician judged"),
                     textColumn("outcome", "Outcome")};
    for (std::size_t i = 0; i < findings.tolerance.events.size(); ++i) {
        const AdverseEvent& event = findings.tolerance.events[i];
        Row row;
        row.key = std::to_string(i);
        row.about = {"", "", event.food, event.subject};
        row.file = "study.json";
        row.cells = {event.subject,
                     foodCell(study, event.food),
                     event.day > 0 ? Cell{static_cast<std::int64_t>(event.day)} : Cell{},
                     event.what,
                     cellOf(event.severity),
                     yesOrNothing(event.serious),
                     cellOf(event.related),
                     cellOf(event.outcome)};
        table.rows.push_back(std::move(row));
    }
    addCaution(table);
    return table;
}

Table adverseEventCountsTable(const Study& study, const Findings& findings) {
    Table table;
    table.key = "adverse_event_counts";
    table.title = "Adverse events by food and severity";
    table.emptyText = noEvents;
    table.columns = {textColumn("food", "Food"), textColumn("severity", "Severity"),
                     countColumn("events", "Events"),
                     countColumn("subjects", "Subjects", "Subjects with one such event or more"),
                     countColumn("serious", "Serious", "Events that the physician judged serious")};
    for (const AdverseEventCount& count : findings.tolerance.eventCounts) {
        Row row;
        row.key = std::to_string(table.rows.size());
        row.about.food = count.food;
        row.cells = {foodCell(study, count.food), cellOf(count.severity), cellOf(count.events),
                     cellOf(count.subjects), cellOf(count.serious)};
        table.rows.push_back(std::move(row));
    }
    addCaution(table);
    return table;
}

}  // namespace aftercurve
