#include <algorithm>
#include <nlohmann/json.hpp>

#include "core/base/number_text.h"
#include "core/edit/edit.h"
#include "core/edit/settings_edits.h"
#include "core/edit/table_edits.h"
#include "core/files/assays_json.h"
#include "core/files/excerpt.h"
#include "core/files/fibre_json.h"
#include "core/files/plan_json.h"
#include "core/study/laboratory_exclusion.h"

namespace aftercurve {

namespace {

std::string shownCell(std::string_view text) {
    return text.empty() ? "(empty)" : shortened(text);
}

std::string arrow(std::string_view before, std::string_view after) {
    return shownCell(before) + " → " + shownCell(after);
}

/// "subject 07, drink, visit 2, 30 min", what an exclusion or an acceptance is about.
template <class Entry>
std::string placeOfEntry(const Entry& entry) {
    std::string text;
    const auto add = [&text](const std::string& part) { text += (text.empty() ? "" : ", ") + part; };
    if (!entry.subject.empty()) {
        add("subject " + shortened(entry.subject));
    }
    if (!entry.food.empty()) {
        add(shortened(entry.food));
    }
    if (entry.visit) {
        add("visit " + std::to_string(*entry.visit));
    }
    if (entry.timeMin) {
        add(plainNumber(*entry.timeMin) + " min");
    }
    if (!entry.analyte.empty()) {
        add(shortened(entry.analyte));
    }
    return text.empty() ? "everything" : text;
}

std::string shownEntry(const Exclusion& one) {
    return (isOfLaboratory(one) ? laboratoryPlace(one) : placeOfEntry(one)) + " (" + shortened(one.reason) +
           ")";
}

std::string shownEntry(const Acceptance& one) {
    return shortened(one.check) + ", " + placeOfEntry(one) + " (" + shortened(one.because) + ")";
}

/// "exclusion added: ...; exclusion removed: ...".
template <class Entry>
std::string describeList(const std::vector<Entry>& before, const std::vector<Entry>& after,
                         const std::string& name) {
    std::string text;
    const auto tell = [&](const std::vector<Entry>& entries, const std::vector<Entry>& others,
                          const char* verb) {
        for (const Entry& one : entries) {
            if (std::find(others.begin(), others.end(), one) == others.end()) {
                text += (text.empty() ? "" : "; ") + name + verb + shownEntry(one);
            }
        }
    };
    tell(before, after, " removed: ");
    tell(after, before, " added: ");
    return text.empty() ? name + "s: another order or number of the same" : text;
}

std::string describeOne(const Study& before, const SetCell& cell) {
    const TableEdits& edits = editsOf(cell.table);
    const std::vector<TableColumn> columns = edits.columns(before);
    if (cell.row >= edits.rows(before) || cell.column >= columns.size()) {
        return "a cell that is not there";
    }
    return edits.nameOfRow(before, cell.row) + ", " + shortened(columns[cell.column].name) + ": " +
           arrow(edits.text(before, cell.row, cell.column), cell.text);
}

std::string describeOne(const Study& before, const InsertRow& row) {
    std::string text = "row added to the " + std::string{nameOf(row.table)} + ": ";
    const std::vector<TableColumn> columns = columnsOf(before, row.table);
    bool first = true;
    for (std::size_t i = 0; i < columns.size() && i < row.cells.size(); ++i) {
        if (!row.cells[i].empty()) {
            text += (first ? "" : ", ") + shortened(columns[i].name) + " " + shortened(row.cells[i]);
            first = false;
        }
    }
    return text;
}

std::string describeOne(const Study& before, const RemoveRow& row) {
    const TableEdits& edits = editsOf(row.table);
    const std::string name = row.row < edits.rows(before) ? edits.nameOfRow(before, row.row) : "not there";
    return "row removed from the " + std::string{nameOf(row.table)} + ": " + name;
}

std::string describeOne(const Study& before, const SetTitle& title) {
    return "title: " + arrow(before.title, title.title);
}

/// "plan: alpha 0.05 → 0.1, ...": the keys that differ between two objects.
std::string describeKeys(const std::string& name, const Json& was, const Json& now) {
    std::string text;
    const auto shownAt = [](const Json& object, const std::string& key) {
        const auto found = object.find(key);
        if (found == object.end()) {
            return std::string{"(empty)"};
        }
        using Errors = Json::error_handler_t;
        return found->is_string() ? shownCell(found->template get_ref<const std::string&>())
                                  : shortened(found->dump(-1, ' ', false, Errors::replace));
    };
    Json keys = was;
    keys.update(now);
    for (const auto& [key, value] : keys.items()) {
        if (was.value(key, Json{}) != now.value(key, Json{})) {
            text += (text.empty() ? name + ": " : ", ") + key + " " + shownAt(was, key) + " → " +
                    shownAt(now, key);
        }
    }
    return text.empty() ? name + ": as before" : text;
}

std::string describeOne(const Study& before, const SetPlan& set) {
    Json was = Json::object();
    Json now = Json::object();
    putPlan(before.plan, was);
    putPlan(set.plan, now);
    return describeKeys("plan", was, now);
}

std::string describeOne(const Study& before, const SetAssaySettings& set) {
    return describeKeys("settings of the assays", everyAssaySetting(before.assays),
                        everyAssaySetting(set.settings));
}

/// The object "fibre" with the rules beside it.
Json settingsJson(const FibreData& fibre) {
    Json root = Json::object();
    putFibre(settingsOf(fibre), root);
    Json settings = root.value("fibre", Json::object());
    if (root.contains("fibre_rules")) {
        settings["fibre_rules"] = root["fibre_rules"];
    }
    return settings;
}

std::string describeOne(const Study& before, const SetFibreSettings& set) {
    return describeKeys("settings of fibre", settingsJson(before.fibre), settingsJson(set.settings));
}

std::string describeOne(const Study& before, const SetDiarySettings& set) {
    const auto json = [](const DiaryData& diary) {
        return Json{{"planned_days", diary.plannedDays},
                    {"composite_missing", diary.prorate ? "prorate" : "absent"}};
    };
    return describeKeys("settings of the diary", json(before.diary), json(set.settings));
}

std::string describeOne(const Study& before, const SetExclusions& set) {
    return describeList(before.exclusions, set.exclusions, "exclusion");
}

std::string describeOne(const Study& before, const SetRegistered& set) {
    const std::size_t was = before.registered.size();
    const std::size_t now = set.registered.size();
    if (now > was) {
        const RegisteredPlan& last = set.registered.back();
        return "plan registered on " + last.on + ", SHA-256 " + last.sha256.substr(0, 12) + "…";
    }
    return "registered plans: " + std::to_string(was) + " → " + std::to_string(now);
}

std::string describeOne(const Study& before, const SetConduct& set) {
    std::string text;
    for (const ConductField& field : conductFields()) {
        const std::string was = conductText(before.conduct, field);
        const std::string now = conductText(set.conduct, field);
        if (was != now) {
            text += (text.empty() ? "conduct: " : ", ") + std::string{field.key} + " " + shownCell(was) +
                    " → " + shownCell(now);
        }
    }
    return text.empty() ? "conduct: as before" : text;
}

std::string describeOne(const Study& before, const SetParts& set) {
    const bool known = set.food < before.foods.size();
    const std::size_t was = known ? before.foods[set.food].parts.size() : 0;
    return "food " + (known ? shortened(before.foods[set.food].id) : std::string{"?"}) +
           ", parts: " + std::to_string(was) + " → " + std::to_string(set.parts.size());
}

/// "added", "removed", "changed" with the ids concerned, or another order of the same.
std::string describeOne(const Study& before, const SetFigures& set) {
    std::string text;
    const auto tell = [&](const std::string& id, const char* what) {
        text += (text.empty() ? "" : "; ") + std::string{"figure "} + what + ": " + shortened(id);
    };
    const auto sameId = [](const std::vector<FigureSpec>& list, const FigureSpec& one) {
        return std::find_if(list.begin(), list.end(),
                            [&](const FigureSpec& other) { return other.id == one.id; });
    };
    for (const FigureSpec& figure : before.figures) {
        if (sameId(set.figures, figure) == set.figures.end()) {
            tell(figure.id, "removed");
        }
    }
    for (const FigureSpec& figure : set.figures) {
        const auto was = sameId(before.figures, figure);
        if (was == before.figures.end()) {
            tell(figure.id, "added");
        } else if (!(*was == figure)) {
            tell(figure.id, "changed");
        }
    }
    if (text.empty()) {
        return before.figures == set.figures ? "figures: as before" : "figures: another order of the same";
    }
    return text;
}

std::string describeOne(const Study& before, const SetAccepted& set) {
    return describeList(before.accepted, set.accepted, "accepted warning");
}

}  // namespace

std::string describe(const Study& before, const Change& change) {
    return std::visit([&before](const auto& one) { return describeOne(before, one); }, change);
}

}  // namespace aftercurve
