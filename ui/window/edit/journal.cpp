#include "ui/window/edit/journal.h"

#include <algorithm>
#include <string_view>

#include "core/base/number_text.h"
#include "core/study/laboratory_exclusion.h"
#include "ui/models/text.h"

namespace aftercurve {

namespace {

template <class... Cases>
struct Overloaded : Cases... {
    using Cases::operator()...;
};
template <class... Cases>
Overloaded(Cases...) -> Overloaded<Cases...>;

std::string joined(const std::vector<std::string>& cells) {
    std::string text;
    for (std::size_t i = 0; i < cells.size(); ++i) {
        text += (i == 0 ? "" : " | ") + cells[i];
    }
    return text;
}

std::string rowText(const Study& study, StudyTable table, std::size_t row) {
    std::vector<std::string> cells;
    for (std::size_t column = 0; column < columnsOf(study, table).size(); ++column) {
        cells.push_back(cellText(study, table, row, column));
    }
    return joined(cells);
}

template <class Entry>
std::string placeText(const Entry& entry) {
    std::vector<std::string> parts;
    for (const std::string* part : {&entry.subject, &entry.food, &entry.analyte}) {
        if (!part->empty()) {
            parts.push_back(*part);
        }
    }
    if (entry.visit) {
        parts.push_back("visit " + std::to_string(*entry.visit));
    }
    if (entry.timeMin) {
        parts.push_back(plainNumber(*entry.timeMin) + " min");
    }
    return joined(parts);
}

std::string listText(const std::vector<Exclusion>& list) {
    std::vector<std::string> parts;
    for (const Exclusion& one : list) {
        parts.push_back((isOfLaboratory(one) ? laboratoryPlace(one) : placeText(one)) + ": " + one.reason);
    }
    return joined(parts);
}

std::string listText(const std::vector<Acceptance>& list) {
    std::vector<std::string> parts;
    for (const Acceptance& one : list) {
        parts.push_back(one.check + " " + placeText(one) + ": " + one.because);
    }
    return joined(parts);
}

std::string listText(const std::vector<RegisteredPlan>& list) {
    std::vector<std::string> parts;
    for (const RegisteredPlan& one : list) {
        parts.push_back(one.on + " " + one.sha256);
    }
    return joined(parts);
}

std::string factsText(const Study& study) {
    std::vector<std::string> parts;
    for (const ConductField& field : conductFields()) {
        if (const std::string text = conductText(study.conduct, field); !text.empty()) {
            parts.push_back(std::string{field.key} + ": " + text);
        }
    }
    return joined(parts);
}

std::string figuresText(const Study& study) {
    std::vector<std::string> parts;
    for (const FigureSpec& figure : study.figures) {
        parts.push_back(figure.id + ", panels: " + std::to_string(figure.panels.size()));
    }
    return joined(parts);
}

std::string partsText(const Study& study, std::size_t food) {
    std::vector<std::string> parts;
    if (food < study.foods.size()) {
        for (const MealPart& part : study.foods[food].parts) {
            parts.push_back(part.label + " " + plainNumber(part.carbohydrateG) + " g, index " +
                            plainNumber(part.index));
        }
    }
    return joined(parts);
}

}  // namespace

std::string textAt(const Study& study, const Change& change) {
    return std::visit(
        Overloaded{[&](const SetCell& c) { return cellText(study, c.table, c.row, c.column); },
                   [](const InsertRow&) { return std::string{}; },
                   [&](const RemoveRow& c) { return rowText(study, c.table, c.row); },
                   [&](const SetTitle&) { return study.title; }, [](const SetPlan&) { return std::string{}; },
                   [&](const SetExclusions&) { return listText(study.exclusions); },
                   [&](const SetAccepted&) { return listText(study.accepted); },
                   [&](const SetRegistered&) { return listText(study.registered); },
                   [&](const SetConduct&) { return factsText(study); },
                   [&](const SetParts& c) { return partsText(study, c.food); },
                   [&](const SetFigures&) { return figuresText(study); },
                   [](const SetAssaySettings&) { return std::string{}; },
                   [](const SetFibreSettings&) { return std::string{}; },
                   [](const SetDiarySettings&) { return std::string{}; }},
        change);
}

bool concerns(const Study& study, const MadeChange& change, const LedgerPlace& place) {
    const auto* cell = std::get_if<SetCell>(&change.change);
    if (cell == nullptr || nameOf(cell->table) != place.table || cell->row >= rowCount(study, cell->table) ||
        columnsOf(study, cell->table)[cell->column].name != place.field) {
        return false;
    }
    const auto text = [&](std::string_view name) -> std::string {
        const std::vector<TableColumn> columns = columnsOf(study, cell->table);
        for (std::size_t i = 0; i < columns.size(); ++i) {
            if (columns[i].name == name) {
                return cellText(study, cell->table, cell->row, i);
            }
        }
        return {};
    };
    switch (cell->table) {
        case StudyTable::samples:
            return text("subject") == place.subject && text("food") == place.food &&
                   (!place.visit || text("visit") == std::to_string(*place.visit)) &&
                   (!place.timeMin || text("time_min") == plainNumber(*place.timeMin));
        case StudyTable::visits:
            return text("subject") == place.subject && text("food") == place.food;
        case StudyTable::subjects:
            return text("subject") == place.subject;
        case StudyTable::foods:
            return text("id") == place.food;
        case StudyTable::assays:
            return place.timeMin && text("time_min") == plainNumber(*place.timeMin);
        case StudyTable::diary:
        case StudyTable::events:
            return text("subject") == place.subject && text("food") == place.food;
        case StudyTable::assaySamples:
        case StudyTable::recipes:
            return text("food") == place.food;
        case StudyTable::analytes:
        case StudyTable::fibre:
        case StudyTable::recipeParts:
        case StudyTable::diaryItems:
            return true;
    }
    return false;
}

void Journal::add(const Study& before, std::span<const Change> changes, int step, const Authorship& author,
                  const std::string& on) {
    Study state = before;
    for (const Change& change : changes) {
        MadeChange made;
        made.change = change;
        made.text = describe(state, change);
        made.from = textAt(state, change);
        // The step was tried before it came here, so that each change fits.
        if (const Result<Change> back = apply(state, change); back) {
            made.to = textAt(state, back.value());
        }
        made.by = plain(author.by);
        made.why = plain(author.why);
        made.on = on;
        entries_.push_back({std::move(made), step});
    }
}

bool Journal::takeAway(int step) {
    if (entries_.empty() || entries_.back().step != step) {
        return false;
    }
    std::erase_if(entries_, [step](const Entry& entry) { return entry.step == step; });
    return true;
}

std::vector<MadeChange> Journal::changes() const {
    std::vector<MadeChange> list;
    for (const Entry& entry : entries_) {
        list.push_back(entry.change);
    }
    return list;
}

}  // namespace aftercurve
