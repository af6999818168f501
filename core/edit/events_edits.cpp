// The adverse events, which stand in study.json.
#include <algorithm>
#include <span>

#include "core/edit/cell_reading.h"
#include "core/files/diary_json.h"
#include "core/files/excerpt.h"

namespace aftercurve {

namespace {

enum EventsColumn : std::size_t {
    subject,
    food,
    day,
    what,
    severity,
    related,
    outcome,
    serious,
    columnCount
};

std::vector<TableColumn> columns(const Study& /*study*/) {
    return {{"subject", "Subject", false, true},
            {"food", "Food", false, false},
            {"day", "Day", true, false},
            {"what", "Event", false, true},
            {"severity", "Severity", false, false},
            {"related", "Related to the food", false, false},
            {"outcome", "Outcome", false, false},
            {"serious", "Serious", false, false}};
}

std::size_t rows(const Study& study) {
    return study.diary.events.size();
}

std::string text(const Study& study, std::size_t row, std::size_t column) {
    const AdverseEvent& event = study.diary.events[row];
    switch (column) {
        case subject:
            return event.subject;
        case food:
            return event.food;
        case day:
            return countText(event.day, 0);
        case what:
            return event.what;
        case severity:
            return event.severity;
        case related:
            return event.related;
        case outcome:
            return event.outcome;
        default:
            return yesOrNo(event.serious);
    }
}

/// What happened: a text that is there.
Result<std::string> eventFrom(std::string_view text, bool takesBack) {
    Result<std::string> read = jsonTextFrom(text, "what");
    if (read && read.value().empty() && !takesBack) {
        return cellProblem("what", "the event is empty", "say in a few words what happened");
    }
    return read;
}

/// One of the words, or none; any that stood there where a change is taken back.
Result<std::string> wordFrom(std::string_view text, std::string_view column,
                             std::span<const std::string_view> words, bool takesBack) {
    Result<std::string> read = jsonTextFrom(text, column);
    if (!read || takesBack || text.empty() || std::find(words.begin(), words.end(), text) != words.end()) {
        return read;
    }
    std::string list;
    for (const std::string_view word : words) {
        list += (list.empty() ? "" : ", ") + std::string{word};
    }
    return cellProblem(column, std::string{column} + ": " + quote(text) + " is not one of " + list,
                       "ask the physician of the study which it is, or leave it empty");
}

Result<int> dayFrom(std::string_view text) {
    const Result<std::optional<int>> read = wholeFrom(text, "day", 1, mostDiaryDays);
    return read ? Result<int>{read.value().value_or(0)} : read.problem();
}

/// Writes one cell into an event.
Result<Done> put(const Study& study, AdverseEvent& event, std::size_t column, std::string_view words,
                 bool takesBack) {
    switch (column) {
        case subject:
            return keep(subjectIdFrom(study, words, takesBack), event.subject);
        case food:
            return keep(foodIdFrom(study, words, takesBack), event.food);
        case day:
            return keep(dayFrom(words), event.day);
        case what:
            return keep(eventFrom(words, takesBack), event.what);
        case severity:
            return keep(wordFrom(words, "severity", eventSeverities, takesBack), event.severity);
        case related:
            return keep(wordFrom(words, "related", eventRelations, takesBack), event.related);
        case outcome:
            return keep(jsonTextFrom(words, "outcome"), event.outcome);
        default:
            return keep(yesOrNoFrom(words, "serious", false), event.serious);
    }
}

Result<Done> set(Study& study, const SetCell& cell) {
    return put(study, study.diary.events[cell.row], cell.column, cell.text, cell.takesBack);
}

Result<std::size_t> insert(Study& study, const InsertRow& change) {
    if (study.diary.events.size() >= mostEvents) {
        return cellProblem({}, "the study has as many events as are read", "split the study");
    }
    AdverseEvent event;
    for (std::size_t column = 0; column < columnCount; ++column) {
        const Result<Done> done = put(study, event, column, change.cells[column], change.takesBack);
        if (!done) {
            return done.problem();
        }
    }
    putInto(study.diary.events, change.row, std::move(event));
    return change.row;
}

Result<Done> remove(Study& study, const RemoveRow& change) {
    takeOut(study.diary.events, change.row);
    return Done{};
}

std::string nameOfRow(const Study& study, std::size_t row) {
    const AdverseEvent& event = study.diary.events[row];
    return "event of subject " + shortened(event.subject) + ", " + shortened(event.what);
}

}  // namespace

const TableEdits eventsEdits{columns, rows, text, set, insert, remove, nameOfRow};

}  // namespace aftercurve
