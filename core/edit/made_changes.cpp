#include "core/edit/made_changes.h"

#include <string>

#include "core/edit/read_back.h"

namespace aftercurve {

namespace {

std::optional<std::string> unlessEmpty(const std::string& text) {
    return text.empty() ? std::nullopt : std::optional{text};
}

/// Subject and food of an entry of study.json.
void putEntry(LedgerPlace& place, const Study& study, StudyTable table, std::size_t row) {
    if (table == StudyTable::foods) {
        place.food = study.foods[row].id;
    } else if (table == StudyTable::assaySamples) {
        place.food = study.assays.samples[row].food;
    } else if (table == StudyTable::recipes) {
        place.food = study.fibre.recipes[row].food;
    } else if (table == StudyTable::events) {
        place.subject = study.diary.events[row].subject;
        place.food = study.diary.events[row].food;
    }
}

/// Subject, food, visit, time, file and line of a row.
void putRow(LedgerPlace& place, const Study& study, StudyTable table, std::size_t row) {
    if (row >= rowCount(study, table)) {
        return;
    }
    if (table == StudyTable::samples) {
        const Draw& draw = study.draws[row];
        place.file = draw.file < study.sampleFiles.size() ? study.sampleFiles[draw.file] : std::string{};
        place.row = draw.row;
        place.subject = study.subjects[draw.subject].id;
        place.food = study.foods[draw.food].id;
        place.visit = draw.visit;
        place.timeMin = draw.timeMin;
    } else if (table == StudyTable::visits) {
        const VisitRecord& record = study.visits[row];
        place.file = study.visitsFile;
        place.row = record.row;
        place.subject = study.subjects[record.subject].id;
        place.food = study.foods[record.food].id;
        place.visit = record.visit;
    } else if (table == StudyTable::subjects) {
        place.file = study.subjectsFile;
        place.subject = study.subjects[row].id;
    } else if (table == StudyTable::assays) {
        const AssayReading& reading = study.assays.readings[row];
        place.file = study.assays.file;
        place.row = reading.row;
        place.timeMin = reading.timeMin;
    } else if (table == StudyTable::fibre) {
        place.file = study.fibre.file;
        place.row = study.fibre.results[row].row;
    } else if (table == StudyTable::diary) {
        const DiaryDay& day = study.diary.days[row];
        place.file = study.diary.file;
        place.row = day.row;
        place.subject = day.subject;
        place.food = day.food;
    } else {
        place.file = studyFileName;
        putEntry(place, study, table, row);
    }
}

LedgerEntry entryOf(const char* what, std::string table) {
    LedgerEntry entry;
    entry.what = what;
    entry.where.table = std::move(table);
    return entry;
}

/// What a change is, and its place in the study before it; a row added has its place after it.
LedgerEntry entryFor(const Study& study, const SetCell& cell) {
    LedgerEntry entry = entryOf("value", std::string{nameOf(cell.table)});
    const auto columns = columnsOf(study, cell.table);
    entry.where.field = cell.column < columns.size() ? columns[cell.column].name : std::string{};
    putRow(entry.where, study, cell.table, cell.row);
    return entry;
}

LedgerEntry entryFor(const Study& /*study*/, const InsertRow& row) {
    return entryOf("row-added", std::string{nameOf(row.table)});
}

LedgerEntry entryFor(const Study& study, const RemoveRow& row) {
    LedgerEntry entry = entryOf("row-removed", std::string{nameOf(row.table)});
    putRow(entry.where, study, row.table, row.row);
    return entry;
}

LedgerEntry entryFor(const Study& /*study*/, const SetTitle& /*title*/) {
    LedgerEntry entry = entryOf("value", "study");
    entry.where.file = studyFileName;
    entry.where.field = "title";
    return entry;
}

LedgerEntry entryFor(const Study& /*study*/, const SetPlan& /*plan*/) {
    return entryOf("plan", "plan");
}

LedgerEntry entryFor(const Study& /*study*/, const SetExclusions& /*set*/) {
    return entryOf("exclusion", "exclusions");
}

LedgerEntry entryFor(const Study& /*study*/, const SetRegistered& /*set*/) {
    return entryOf("registration", "registered_plans");
}

LedgerEntry entryFor(const Study& /*study*/, const SetConduct& /*set*/) {
    return entryOf("value", "conduct");
}

LedgerEntry entryFor(const Study& study, const SetParts& set) {
    LedgerEntry entry = entryOf("value", "foods");
    if (set.food < study.foods.size()) {
        putRow(entry.where, study, StudyTable::foods, set.food);
    }
    entry.where.field = "parts";
    return entry;
}

LedgerEntry entryFor(const Study& /*study*/, const SetFigures& /*set*/) {
    return entryOf("value", "figures");
}

LedgerEntry entryFor(const Study& /*study*/, const SetAssaySettings& /*set*/) {
    return entryOf("value", "assay_settings");
}

LedgerEntry entryFor(const Study& /*study*/, const SetFibreSettings& /*set*/) {
    return entryOf("value", "fibre_settings");
}

LedgerEntry entryFor(const Study& /*study*/, const SetDiarySettings& /*set*/) {
    return entryOf("value", "diary_settings");
}

LedgerEntry entryFor(const Study& /*study*/, const SetAccepted& /*set*/) {
    return entryOf("acceptance", "accepted");
}

}  // namespace

std::vector<LedgerEntry> ledgerEntriesFor(Study was, std::span<const MadeChange> changes) {
    std::vector<LedgerEntry> entries;
    bool follows = true;
    const Study nothing;
    for (const MadeChange& made : changes) {
        const Study& state = follows ? was : nothing;
        LedgerEntry entry = std::visit([&](const auto& one) { return entryFor(state, one); }, made.change);
        if (follows) {
            const Result<Change> back = apply(was, made.change);
            follows = back.ok();
            // What takes a row away again knows where it came to stand.
            const auto* added = follows ? std::get_if<RemoveRow>(&back.value()) : nullptr;
            if (added != nullptr) {
                putRow(entry.where, was, added->table, added->row);
            }
        }
        entry.on = made.on;
        entry.by = made.by;
        entry.why = made.why;
        entry.from = unlessEmpty(made.from);
        entry.to = unlessEmpty(made.to);
        entries.push_back(std::move(entry));
    }
    return entries;
}

}  // namespace aftercurve
