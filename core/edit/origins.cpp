#include "core/edit/origins.h"

#include <algorithm>
#include <string>
#include <unordered_map>
#include <variant>

namespace aftercurve {

namespace {

/// Where the rows of a table went, by rows added and removed alone. Empty where the changes do not fit.
std::optional<Origins::List> followed(StudyTable table, std::size_t rows,
                                      std::span<const MadeChange> changes) {
    Origins::List list(rows);
    for (std::size_t i = 0; i < rows; ++i) {
        list[i] = i;
    }
    for (const MadeChange& made : changes) {
        if (const auto* added = std::get_if<InsertRow>(&made.change); added && added->table == table) {
            if (added->row > list.size()) {
                return std::nullopt;
            }
            list.insert(list.begin() + static_cast<std::ptrdiff_t>(added->row), std::nullopt);
        } else if (const auto* gone = std::get_if<RemoveRow>(&made.change); gone && gone->table == table) {
            if (gone->row >= list.size()) {
                return std::nullopt;
            }
            list.erase(list.begin() + static_cast<std::ptrdiff_t>(gone->row));
        }
    }
    return list;
}

bool anyRename(StudyTable table, std::span<const MadeChange> changes) {
    return std::any_of(changes.begin(), changes.end(), [table](const MadeChange& made) {
        const auto* cell = std::get_if<SetCell>(&made.change);
        return cell != nullptr && cell->table == table && cell->column == 0;
    });
}

template <class Thing>
Origins::List originsIn(StudyTable table, const std::vector<Thing>& was, const std::vector<Thing>& now,
                        std::span<const MadeChange> changes) {
    Origins::List list = followed(table, was.size(), changes).value_or(Origins::List{});
    if (list.size() != now.size()) {
        list.assign(now.size(), std::nullopt);
    }
    const bool renamed = anyRename(table, changes);
    std::vector<bool> claimed(was.size(), false);
    for (std::size_t i = 0; i < now.size(); ++i) {
        if (list[i] && !renamed && was[*list[i]].id != now[i].id) {
            list[i] = std::nullopt;
        }
        if (list[i]) {
            claimed[*list[i]] = true;
        }
    }
    std::unordered_map<std::string, std::size_t> byId;
    for (std::size_t i = 0; i < was.size(); ++i) {
        byId.emplace(was[i].id, i);
    }
    const auto claim = [&](std::size_t i, std::size_t origin) {
        if (!claimed[origin]) {
            list[i] = origin;
            claimed[origin] = true;
        }
    };
    for (std::size_t i = 0; i < now.size(); ++i) {
        if (const auto found = byId.find(now[i].id); !list[i] && found != byId.end()) {
            claim(i, found->second);
        }
    }
    for (std::size_t i = 0; changes.empty() && was.size() == now.size() && i < now.size(); ++i) {
        if (!list[i]) {
            claim(i, i);
        }
    }
    return list;
}

/// Events have no id: those that no row added or removed explains are known by being equal.
Origins::List originsOfEvents(const std::vector<AdverseEvent>& was, const std::vector<AdverseEvent>& now,
                              std::span<const MadeChange> changes) {
    Origins::List list = followed(StudyTable::events, was.size(), changes).value_or(Origins::List{});
    const bool follows = list.size() == now.size();
    if (!follows) {
        list.assign(now.size(), std::nullopt);
    }
    std::vector<bool> claimed(was.size(), false);
    for (const auto& origin : list) {
        if (origin) {
            claimed[*origin] = true;
        }
    }
    for (std::size_t i = 0; i < now.size(); ++i) {
        for (std::size_t j = 0; !list[i] && j < was.size(); ++j) {
            if (!claimed[j] && was[j] == now[i]) {
                list[i] = j;
                claimed[j] = true;
            }
        }
    }
    return list;
}

}  // namespace

Origins originsOf(const Study& was, const Study& now, std::span<const MadeChange> changes) {
    return {originsIn(StudyTable::foods, was.foods, now.foods, changes),
            originsIn(StudyTable::analytes, was.analytes, now.analytes, changes),
            originsIn(StudyTable::subjects, was.subjects, now.subjects, changes),
            originsIn(StudyTable::assaySamples, was.assays.samples, now.assays.samples, changes),
            originsIn(StudyTable::recipes, was.fibre.recipes, now.fibre.recipes, changes),
            originsIn(StudyTable::diaryItems, was.diary.items, now.diary.items, changes),
            originsOfEvents(was.diary.events, now.diary.events, changes)};
}

}  // namespace aftercurve
