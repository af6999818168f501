#include "core/edit/unsaved_changes.h"

#include "core/edit/settings_edits.h"
#include "core/files/assays_json.h"
#include "core/files/diary_json.h"
#include "core/files/excerpt.h"
#include "core/files/exclusion_json.h"
#include "core/files/fibre_json.h"
#include "core/files/figure_spec_json.h"
#include "core/files/json_object.h"
#include "core/files/plan_json.h"
#include "core/files/registered_plan_json.h"
#include "core/files/study_facts_json.h"
#include "core/files/study_folder.h"
#include "core/files/text_check.h"

namespace aftercurve {

namespace {

constexpr const char* logName = "unsaved changes";
constexpr int deepest = 8;

Json base(const char* kind) {
    return Json{{"change", kind}};
}

void putTakesBack(Json& json, bool takesBack) {
    if (takesBack) {
        json["takes_back"] = true;
    }
}

Json jsonOf(const SetCell& cell) {
    Json json = base("cell");
    json["table"] = std::string{nameOf(cell.table)};
    json["row"] = cell.row;
    json["column"] = cell.column;
    json["text"] = cell.text;
    putTakesBack(json, cell.takesBack);
    return json;
}

Json jsonOf(const InsertRow& row) {
    Json json = base("insert");
    json["table"] = std::string{nameOf(row.table)};
    json["row"] = row.row;
    json["cells"] = row.cells;
    if (row.file) {
        json["file"] = *row.file;
    }
    if (row.line != 0) {
        json["line"] = row.line;
    }
    putTakesBack(json, row.takesBack);
    return json;
}

Json jsonOf(const RemoveRow& row) {
    Json json = base("remove");
    json["table"] = std::string{nameOf(row.table)};
    json["row"] = row.row;
    putTakesBack(json, row.takesBack);
    return json;
}

Json jsonOf(const SetTitle& title) {
    Json json = base("title");
    json["title"] = title.title;
    return json;
}

Json jsonOf(const SetPlan& set) {
    Json json = base("plan");
    json["plan"] = Json::object();
    putPlan(set.plan, json["plan"]);
    return json;
}

Json jsonOf(const SetExclusions& set) {
    Json json = base("exclusions");
    json["exclusions"] = Json::array();
    putExclusions(set.exclusions, json);
    return json;
}

Json jsonOf(const SetRegistered& set) {
    Json json = base("registered");
    json["registered_plans"] = Json::array();
    Json entries = Json::object();
    putRegisteredPlans(set.registered, entries);
    if (entries.contains("registered_plans")) {
        json["registered_plans"] = entries["registered_plans"];
    }
    return json;
}

Json jsonOf(const SetConduct& set) {
    Json json = base("conduct");
    json["conduct"] = Json::object();
    putConduct(set.conduct, json);
    return json;
}

Json jsonOf(const SetParts& set) {
    Json json = base("parts");
    json["food"] = set.food;
    putParts(set.parts, json);
    return json;
}

Json jsonOf(const SetFigures& set) {
    Json json = base("figures");
    putFigures(set.figures, json);
    if (set.figures.empty()) {
        json["figures"] = Json::array();
    }
    return json;
}

Json jsonOf(const SetAssaySettings& set) {
    Json json = base("assay_settings");
    json["assays"] = everyAssaySetting(set.settings);
    return json;
}

Json jsonOf(const SetFibreSettings& set) {
    Json json = base("fibre_settings");
    putFibre(settingsOf(set.settings), json);
    return json;
}

Json jsonOf(const SetDiarySettings& set) {
    Json json = base("diary_settings");
    putDiary(settingsOf(set.settings), json);
    return json;
}

Json jsonOf(const SetAccepted& set) {
    Json json = base("accepted");
    json["accepted"] = Json::array();
    putAcceptances(set.accepted, json);
    return json;
}

/// Reads one change; what is wrong is reported.
class ChangeReading {
  public:
    explicit ChangeReading(const JsonObject& root) : root_(root) {}

    Change read() {
        const std::string kind = root_.text("change", Need::required).value_or("");
        if (kind == "cell") {
            return SetCell{table(), number("row"), number("column"), cellText("text"), takesBack()};
        }
        if (kind == "insert") {
            return insertion();
        }
        if (kind == "remove") {
            return RemoveRow{table(), number("row"), takesBack()};
        }
        if (kind == "title") {
            return SetTitle{text("title")};
        }
        if (kind == "plan") {
            const auto plan = root_.object("plan");
            if (!plan) {
                fail("plan", "is missing");
                return SetPlan{};
            }
            return SetPlan{planFrom(*plan)};
        }
        if (kind == "exclusions") {
            SetExclusions set;
            for (const JsonObject& entry : list("exclusions")) {
                set.exclusions.push_back(exclusionFrom(entry));
            }
            return set;
        }
        if (kind == "registered") {
            SetRegistered set;
            for (const JsonObject& entry : list("registered_plans")) {
                set.registered.push_back(registeredPlanFrom(entry));
            }
            return set;
        }
        if (kind == "conduct") {
            const auto conduct = root_.object("conduct");
            return SetConduct{conduct ? conductFrom(*conduct) : Conduct{}};
        }
        if (kind == "parts") {
            return SetParts{number("food"), partsFrom(root_)};
        }
        if (kind == "figures") {
            if (!root_.value().contains("figures")) {
                fail("figures", "is missing");
            }
            return SetFigures{figuresFrom(root_)};
        }
        if (kind == "assay_settings" || kind == "fibre_settings" || kind == "diary_settings") {
            return settings(kind);
        }
        if (kind == "accepted") {
            SetAccepted set;
            for (const JsonObject& entry : list("accepted")) {
                set.accepted.push_back(acceptanceFrom(entry));
            }
            return set;
        }
        fail("change", "is " + quote(kind) + ", which is no kind of change");
        return SetTitle{};
    }

  private:
    void fail(std::string_view key, const std::string& what) {
        root_.report(Weight::fatal, key, what, "discard the unsaved changes from this one on");
    }

    StudyTable table() {
        const std::string name = root_.text("table", Need::required).value_or("");
        for (const StudyTable one : allStudyTables) {
            if (nameOf(one) == name) {
                return one;
            }
        }
        fail("table", "is " + quote(name) + ", which is no table of a study");
        return StudyTable::samples;
    }

    std::uint64_t number(const char* key) {
        const auto value = root_.unsignedNumber(key);
        if (!value) {
            fail(key, "is missing or no whole number");
        }
        return value.value_or(0);
    }

    std::uint32_t lineNumber(const char* key) {
        const std::uint64_t value = root_.unsignedNumber(key).value_or(0);
        if (value > UINT32_MAX) {
            fail(key, "is too large");
            return 0;
        }
        return static_cast<std::uint32_t>(value);
    }

    bool takesBack() { return root_.boolean("takes_back").value_or(false); }

    /// Settings of the laboratory or of the diary; those of fibre and of the diary may all be the usual ones.
    Change settings(const std::string& kind) {
        if (kind == "fibre_settings") {
            return SetFibreSettings{fibreFrom(root_)};
        }
        if (kind == "diary_settings") {
            const auto diary = root_.object("diary");
            return SetDiarySettings{diary ? diaryFrom(*diary) : DiaryData{}};
        }
        const auto assays = root_.object("assays");
        if (!assays) {
            fail("assays", "is missing");
            return SetTitle{};
        }
        SetAssaySettings set;
        readAssaySettings(*assays, set.settings);
        return set;
    }

    std::string text(const char* key) { return root_.text(key, Need::required).value_or(""); }

    /// As it stands: `apply` judges it. A cell of a file may hold a tab, and so does the change that puts it
    /// back.
    std::string cellText(const char* key) {
        const auto found = root_.value().find(key);
        if (found == root_.value().end() || !found->is_string()) {
            fail(key, "is missing or no text");
            return {};
        }
        return found->get<std::string>();
    }

    std::vector<JsonObject> list(const char* key) {
        if (!root_.value().contains(key)) {
            fail(key, "is missing");
        }
        return root_.objects(key, Need::optional);
    }

    Change insertion() {
        InsertRow row{table(), number("row"), {}};
        const auto cells = root_.value().find("cells");
        if (cells == root_.value().end() || !cells->is_array() ||
            cells->size() > ReadLimits{}.columns + columnsBesideAnalytes) {
            fail("cells", "is missing, no list or too long");
            return row;
        }
        for (const Json& cell : *cells) {
            if (!cell.is_string()) {
                fail("cells", "holds what is no text");
                return row;
            }
            row.cells.push_back(cell.get<std::string>());
        }
        if (root_.value().contains("file")) {
            row.file = lineNumber("file");
        }
        row.line = lineNumber("line");
        row.takesBack = takesBack();
        return row;
    }

    static constexpr std::size_t columnsBesideAnalytes = 16;

    JsonObject root_;
};

}  // namespace

std::string changeJson(const Change& change) {
    const Json json = std::visit([](const auto& one) { return jsonOf(one); }, change);
    // `apply` takes no text that is not UTF-8, so nothing is replaced in a change that was made.
    return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

Result<Change> changeFrom(std::string_view json) {
    const Result<std::string_view> checked = checkedText(json, logName);
    if (!checked) {
        return checked.problem();
    }
    const Result<Json> parsed = parseJson(checked.value(), logName, deepest);
    if (!parsed) {
        return parsed.problem();
    }
    if (!parsed.value().is_object()) {
        return problemAt(logName, 0, {}, "an unsaved change is no JSON object",
                         "discard the unsaved changes from this one on");
    }
    ProblemList problems{1};
    Change change = ChangeReading{JsonObject{parsed.value(), "", logName, problems}}.read();
    if (problems.failed()) {
        return problems.take().front();
    }
    return change;
}

}  // namespace aftercurve
