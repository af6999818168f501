#include "core/edit/edit.h"

#include <algorithm>
#include <cmath>

#include "core/compare/scaled.h"
#include "core/edit/cell_reading.h"
#include "core/edit/facts_edits.h"
#include "core/edit/settings_edits.h"
#include "core/edit/table_edits.h"
#include "core/files/cell_rules.h"
#include "core/files/excerpt.h"
#include "core/files/exclusion_json.h"
#include "core/files/registered_plan_json.h"
#include "core/files/study_facts_json.h"
#include "core/study/laboratory_exclusion.h"

namespace aftercurve {

namespace {

Problem noSuchCell(StudyTable table) {
    return cellProblem({}, "there is no such cell in the table " + std::string{nameOf(table)},
                       "open the study again");
}

/// Why a text cannot stand in study.json; empty where it can.
std::string faultOfJsonText(std::string_view text) {
    return faultOfText(text, longestJsonText);
}

template <class Entry>
std::optional<Problem> faultOfEntry(const Entry& entry, const std::string& reason, const char* list) {
    for (const std::string* text :
         {&entry.subject, &entry.food, &entry.analyte, &reason, &entry.by, &entry.on}) {
        if (std::string fault = faultOfJsonText(*text); !fault.empty()) {
            return cellProblem(list, std::move(fault), "remove line breaks, tabs and the like");
        }
    }
    if (entry.visit && *entry.visit < 1) {
        return cellProblem(list, "visit " + std::to_string(*entry.visit) + "; visits are counted from 1",
                           "name a visit from 1, or none");
    }
    if (entry.timeMin && !std::isfinite(*entry.timeMin)) {
        return cellProblem(list, "a time is not a finite number", "give it in minutes");
    }
    return std::nullopt;
}

Result<Change> change(Study& study, const SetCell& cell) {
    const TableEdits& edits = editsOf(cell.table);
    if (cell.row >= edits.rows(study) || cell.column >= columnCountOf(study, cell.table)) {
        return noSuchCell(cell.table);
    }
    SetCell inverse{cell.table, cell.row, cell.column, edits.text(study, cell.row, cell.column), true};
    if (inverse.text == cell.text) {
        return Change{std::move(inverse)};
    }
    const std::optional<std::size_t> reference = referenceSample(study.assays);
    if (const Result<Done> done = edits.set(study, cell); !done) {
        return done.problem();
    }
    // A mark that came from another sample goes back by marking that one again.
    if (cell.table == StudyTable::assaySamples && reference && reference != cell.row &&
        referenceSample(study.assays) == cell.row) {
        inverse.row = *reference;
        inverse.text = cell.text;
    }
    return Change{std::move(inverse)};
}

Result<Change> change(Study& study, const InsertRow& row) {
    const TableEdits& edits = editsOf(row.table);
    if (row.row > edits.rows(study) || row.cells.size() != columnCountOf(study, row.table)) {
        return noSuchCell(row.table);
    }
    const Result<std::size_t> place = edits.insert(study, row);
    if (!place) {
        return place.problem();
    }
    return Change{RemoveRow{row.table, place.value(), true}};
}

Result<Change> change(Study& study, const RemoveRow& row) {
    const TableEdits& edits = editsOf(row.table);
    if (row.row >= edits.rows(study)) {
        return noSuchCell(row.table);
    }
    InsertRow inverse{row.table, row.row, {}};
    inverse.takesBack = true;
    for (std::size_t column = 0; column < columnCountOf(study, row.table); ++column) {
        inverse.cells.push_back(edits.text(study, row.row, column));
    }
    if (row.table == StudyTable::samples) {
        inverse.file = study.draws[row.row].file;
    }
    if (edits.lineOf != nullptr) {
        inverse.line = static_cast<std::uint32_t>(edits.lineOf(study, row.row));
    }
    if (const Result<Done> done = edits.remove(study, row); !done) {
        return done.problem();
    }
    return Change{std::move(inverse)};
}

Result<Change> change(Study& study, const SetTitle& title) {
    if (std::string fault = faultOfJsonText(title.title); !fault.empty()) {
        return cellProblem("title", "title: " + fault, "write it in one line");
    }
    SetTitle inverse{std::move(study.title)};
    study.title = title.title;
    return Change{std::move(inverse)};
}

Result<Change> change(Study& study, const SetPlan& set) {
    const Plan& plan = set.plan;
    std::vector<std::string> texts = plan.secondaryMeasures;
    const bool unnamed =
        std::any_of(texts.begin(), texts.end(), [](const std::string& text) { return text.empty(); });
    texts.insert(texts.end(), {plan.measure, plan.comparator});
    for (const std::string& text : texts) {
        if (std::string fault = faultOfJsonText(text); unnamed || !fault.empty()) {
            return cellProblem("plan", unnamed ? "a secondary measure has no name" : "plan: " + fault,
                               "choose a measure or a food of the lists");
        }
    }
    const MarginPlan& margins = plan.inference.margins;
    if (std::string fault = faultOfJsonText(margins.analyte); !fault.empty()) {
        return cellProblem("plan", "plan: " + fault, "name an analyte of the study");
    }
    std::vector<double> numbers{plan.windowEndMin,
                                plan.timeToleranceMin,
                                plan.duplicateCvLimitPercent,
                                plan.washoutDays.value_or(0.0),
                                plan.alpha,
                                plan.inference.trim};
    for (const auto& margin : {margins.differenceLow, margins.differenceHigh, margins.ratioLow,
                               margins.ratioHigh, margins.nonInferiority}) {
        numbers.push_back(margin.value_or(0.0));
    }
    const auto& windows = plan.inference.sensitivityWindowsMin;
    numbers.insert(numbers.end(), windows.begin(), windows.end());
    const auto& parts = plan.curvePlan.subWindowsMin;
    numbers.insert(numbers.end(), parts.begin(), parts.end());
    for (const LevelLimit& limit : plan.curvePlan.limits) {
        numbers.push_back(limit.level);
    }
    for (const double number : {plan.indexPlan.referenceFactor, plan.indexPlan.matchTolerancePercent,
                                plan.indexPlan.fibreTargetG.value_or(0.0)}) {
        numbers.push_back(number);
    }
    if (!allFinite(numbers)) {
        return cellProblem("plan", "a number of the plan is not finite", "enter a number");
    }
    SetPlan inverse{std::move(study.plan)};
    study.plan = plan;
    return Change{std::move(inverse)};
}

/// What is wrong with the laboratory's fields of an exclusion; nothing where it has none.
std::optional<Problem> faultOfLaboratory(const Exclusion& one) {
    for (const std::string* text : {&one.material, &one.run, &one.method}) {
        if (std::string fault = faultOfText(*text, longestName); !fault.empty()) {
            return cellProblem("exclusions", std::move(fault), "write it as it stands in the file");
        }
    }
    if (one.replicate && (*one.replicate < 1 || *one.replicate > largestCount)) {
        return cellProblem(
            "exclusions",
            "replicate " + std::to_string(*one.replicate) + "; replicates are counted from 1 to 1000000",
            "name a replicate from 1, or none");
    }
    if (!isOfLaboratory(one)) {
        return std::nullopt;
    }
    if (!one.subject.empty() || !one.food.empty() || one.visit || !one.analyte.empty()) {
        return cellProblem("exclusions",
                           "an exclusion names a subject's sample and a result of the laboratory at once",
                           "make two of it");
    }
    if (!one.method.empty() && (one.timeMin || !one.run.empty())) {
        return cellProblem("exclusions",
                           "an exclusion of a result of fibre names a run or a time of digestions",
                           "name material, method and replicate");
    }
    return std::nullopt;
}

Result<Change> change(Study& study, const SetExclusions& set) {
    std::vector<Exclusion> wanted = set.exclusions;
    for (Exclusion& one : wanted) {
        if (auto problem = faultOfEntry(one, one.reason, "exclusions")) {
            return *problem;
        }
        if (auto problem = faultOfLaboratory(one)) {
            return *problem;
        }
        if (one.subject.empty() && one.food.empty() && !one.visit && one.analyte.empty() && !one.timeMin &&
            !isOfLaboratory(one)) {
            return cellProblem("exclusions", "an exclusion names nothing, and would exclude the whole study",
                               "name a subject, food, visit, analyte or time");
        }
        if (one.reason.empty()) {
            one.reason = noReasonGiven;
        }
    }
    SetExclusions inverse{std::move(study.exclusions)};
    study.exclusions = std::move(wanted);
    return Change{std::move(inverse)};
}

Result<Change> change(Study& study, const SetRegistered& set) {
    for (const RegisteredPlan& one : set.registered) {
        std::string fault = faultOf(one);
        for (const std::string* text : {&one.planJson, &one.by, &one.note}) {
            if (fault.empty()) {
                fault = faultOfJsonText(*text);
            }
        }
        if (!fault.empty()) {
            return cellProblem("registered_plans", fault, "register the plan as it stands");
        }
    }
    SetRegistered inverse{std::move(study.registered)};
    study.registered = set.registered;
    return Change{std::move(inverse)};
}

Result<Change> change(Study& study, const SetConduct& set) {
    if (std::string fault = faultOf(set.conduct); !fault.empty()) {
        return cellProblem("conduct", std::move(fault), "write each fact in one line");
    }
    SetConduct inverse{std::move(study.conduct)};
    study.conduct = set.conduct;
    return Change{std::move(inverse)};
}

Result<Change> change(Study& study, const SetParts& set) {
    if (set.food >= study.foods.size()) {
        return noSuchCell(StudyTable::foods);
    }
    if (set.parts.size() > mostMealParts) {
        return cellProblem("parts", "a meal has more than 100 parts, the most that are read",
                           "name the parts of one meal");
    }
    for (const MealPart& part : set.parts) {
        if (std::string fault = faultOf(part); !fault.empty()) {
            return cellProblem("parts", std::move(fault), "mend the part");
        }
    }
    Food& food = study.foods[set.food];
    SetParts inverse{set.food, std::move(food.parts)};
    food.parts = set.parts;
    return Change{std::move(inverse)};
}

Result<Change> change(Study& study, const SetFigures& set) {
    if (std::string fault = faultOf(set.figures); !fault.empty()) {
        return cellProblem("figures", std::move(fault), "mend the figure");
    }
    SetFigures inverse{std::move(study.figures)};
    study.figures = set.figures;
    return Change{std::move(inverse)};
}

template <class Settings>
requires requires(Study& study, const Settings& set) {
    putSettings(study, set);
}
Result<Change> change(Study& study, const Settings& set) {
    return putSettings(study, set);
}

Result<Change> change(Study& study, const SetAccepted& set) {
    for (const Acceptance& one : set.accepted) {
        if (auto problem = faultOfEntry(one, one.because, "accepted")) {
            return *problem;
        }
        if (std::string fault = faultOfJsonText(one.check); !fault.empty()) {
            return cellProblem("accepted", "check: " + fault, "name a check of the list");
        }
    }
    SetAccepted inverse{std::move(study.accepted)};
    study.accepted = set.accepted;
    return Change{std::move(inverse)};
}

}  // namespace

std::string_view nameOf(StudyTable table) {
    switch (table) {
        case StudyTable::samples:
            return "samples";
        case StudyTable::visits:
            return "visits";
        case StudyTable::subjects:
            return "subjects";
        case StudyTable::foods:
            return "foods";
        case StudyTable::analytes:
            return "analytes";
        case StudyTable::assaySamples:
            return "assay_samples";
        case StudyTable::assays:
            return "assays";
        case StudyTable::fibre:
            return "fibre";
        case StudyTable::recipes:
            return "recipes";
        case StudyTable::recipeParts:
            return "recipe_parts";
        case StudyTable::diaryItems:
            return "diary_items";
        case StudyTable::diary:
            return "diary";
        case StudyTable::events:
            break;
    }
    return "adverse_events";
}

std::vector<TableColumn> columnsOf(const Study& study, StudyTable table) {
    return editsOf(table).columns(study);
}

std::size_t rowCount(const Study& study, StudyTable table) {
    return editsOf(table).rows(study);
}

std::string cellText(const Study& study, StudyTable table, std::size_t row, std::size_t column) {
    const TableEdits& edits = editsOf(table);
    const bool there = row < edits.rows(study) && column < columnCountOf(study, table);
    return there ? edits.text(study, row, column) : std::string{};
}

Result<Change> apply(Study& study, const Change& wanted) {
    return std::visit([&study](const auto& one) { return change(study, one); }, wanted);
}

}  // namespace aftercurve
