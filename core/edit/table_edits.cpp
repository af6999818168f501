#include "core/edit/table_edits.h"

#include <algorithm>

#include "core/base/number_text.h"
#include "core/files/cell_rules.h"
#include "core/files/delimited.h"
#include "core/files/excerpt.h"
#include "core/files/problem_list.h"
#include "core/files/utf8.h"

namespace aftercurve {

namespace {

/// The member of an exclusion or acceptance that names such a thing.
template <class Entry>
std::string Entry::*memberFor(NamedThing thing) {
    switch (thing) {
        case NamedThing::subject:
            return &Entry::subject;
        case NamedThing::food:
            return &Entry::food;
        case NamedThing::analyte:
            return &Entry::analyte;
        case NamedThing::assaySample:
        case NamedThing::diaryItem:
            break;
    }
    return nullptr;
}

template <class Entry>
bool isNamed(const std::vector<Entry>& entries, NamedThing thing, const std::string& id) {
    const auto member = memberFor<Entry>(thing);
    return member != nullptr && std::any_of(entries.begin(), entries.end(),
                                            [&](const Entry& entry) { return entry.*member == id; });
}

/// In the rows and events of the diary, which name foods and subjects by id.
void renameInDiary(DiaryData& diary, NamedThing thing, const std::string& from, const std::string& to) {
    const auto rename = [&](auto& entry) {
        std::string& id = thing == NamedThing::food ? entry.food : entry.subject;
        if (id == from) {
            id = to;
        }
    };
    if (thing == NamedThing::food || thing == NamedThing::subject) {
        std::for_each(diary.days.begin(), diary.days.end(), rename);
        std::for_each(diary.events.begin(), diary.events.end(), rename);
    }
}

/// In assays and recipes, whose materials name the foods that they go into.
void renameInLaboratory(Study& study, NamedThing thing, const std::string& from, const std::string& to) {
    const auto rename = [&](auto& entry) {
        if (entry.food == from) {
            entry.food = to;
        }
    };
    if (thing == NamedThing::food) {
        std::for_each(study.assays.samples.begin(), study.assays.samples.end(), rename);
        std::for_each(study.fibre.recipes.begin(), study.fibre.recipes.end(), rename);
    }
}

/// Whether a material or a recipe goes into this food.
bool inLaboratory(const Study& study, const std::string& food) {
    const auto isOf = [&](const auto& entry) { return entry.food == food; };
    return std::any_of(study.assays.samples.begin(), study.assays.samples.end(), isOf) ||
           std::any_of(study.fibre.recipes.begin(), study.fibre.recipes.end(), isOf);
}

/// Whether a row or an event of the diary has this id in that member.
bool inDiary(const DiaryData& diary, std::string DiaryDay::*inDay, std::string AdverseEvent::*inEvent,
             const std::string& id) {
    return std::any_of(diary.days.begin(), diary.days.end(),
                       [&](const DiaryDay& day) { return day.*inDay == id; }) ||
           std::any_of(diary.events.begin(), diary.events.end(),
                       [&](const AdverseEvent& event) { return event.*inEvent == id; });
}

template <class Entry>
void renameIn(std::vector<Entry>& entries, NamedThing thing, const std::string& from, const std::string& to) {
    const auto member = memberFor<Entry>(thing);
    for (Entry& entry : entries) {
        if (member != nullptr && entry.*member == from) {
            entry.*member = to;
        }
    }
}

/// Whether the measure of such a panel is an item of the diary.
bool showsItem(const PanelSpec& panel) {
    return panel.kind == "symptoms_diverging" || panel.kind == "symptoms_dose";
}

/// The member of a panel that names such a thing; null where none does.
template <class Panel>
auto* nameInPanel(Panel& panel, NamedThing thing) {
    switch (thing) {
        case NamedThing::subject:
            return &panel.subject;
        case NamedThing::food:
            return &panel.food;
        case NamedThing::analyte:
            return &panel.analyte;
        case NamedThing::diaryItem:
            return showsItem(panel) ? &panel.measure : nullptr;
        case NamedThing::assaySample:
            break;
    }
    return static_cast<decltype(&panel.food)>(nullptr);
}

/// Calls `visit` with each id of such a thing that the figures name.
template <class Figures, class Visit>
void eachInFigures(Figures& figures, NamedThing thing, Visit visit) {
    for (auto& figure : figures) {
        for (auto& panel : figure.panels) {
            if (auto* name = nameInPanel(panel, thing)) {
                visit(*name);
            }
        }
        if (thing == NamedThing::food) {
            for (auto& food : figure.style.foods) {
                visit(food.food);
            }
        }
    }
}

/// The looks of a sample in figures stand under this word.
std::string lookOfSample(const std::string& id) {
    return "sample:" + id;
}

/// Whether an exclusion takes out digestions of this sample.
bool isOfSample(const Exclusion& exclusion, const std::string& id) {
    return exclusion.method.empty() && exclusion.material == id;
}

bool isSampleNamed(const Study& study, const std::string& id, bool inFigures) {
    const auto looks = [&](const FigureSpec& figure) {
        return std::any_of(figure.style.foods.begin(), figure.style.foods.end(),
                           [&](const FoodAppearance& food) { return food.food == lookOfSample(id); });
    };
    return inFigures ? std::any_of(study.figures.begin(), study.figures.end(), looks)
                     : std::any_of(study.exclusions.begin(), study.exclusions.end(),
                                   [&](const Exclusion& one) { return isOfSample(one, id); });
}

/// In readings, exclusions of digestions and looks of figures.
void renameSample(Study& study, const std::string& from, const std::string& to) {
    for (AssayReading& reading : study.assays.readings) {
        if (reading.sample == from) {
            reading.sample = to;
        }
    }
    for (Exclusion& exclusion : study.exclusions) {
        if (isOfSample(exclusion, from)) {
            exclusion.material = to;
        }
    }
    for (FigureSpec& figure : study.figures) {
        for (FoodAppearance& food : figure.style.foods) {
            if (food.food == lookOfSample(from)) {
                food.food = lookOfSample(to);
            }
        }
    }
}

bool isNamedInFigures(const Study& study, NamedThing thing, const std::string& id) {
    bool named = false;
    eachInFigures(study.figures, thing, [&](const std::string& one) { named = named || one == id; });
    return named;
}

std::optional<std::string> usedIn(const Study& study, std::uint32_t Draw::*inDraw,
                                  std::uint32_t VisitRecord::*inVisit, std::size_t index) {
    if (std::any_of(study.draws.begin(), study.draws.end(),
                    [&](const Draw& draw) { return draw.*inDraw == index; })) {
        return "samples";
    }
    if (std::any_of(study.visits.begin(), study.visits.end(),
                    [&](const VisitRecord& visit) { return visit.*inVisit == index; })) {
        return "visits";
    }
    return std::nullopt;
}

}  // namespace

const TableEdits& editsOf(StudyTable table) {
    switch (table) {
        case StudyTable::samples:
            return samplesEdits;
        case StudyTable::visits:
            return visitsEdits;
        case StudyTable::subjects:
            return subjectsEdits;
        case StudyTable::foods:
            return foodsEdits;
        case StudyTable::analytes:
            return analytesEdits;
        case StudyTable::assaySamples:
            return assaySamplesEdits;
        case StudyTable::assays:
            return assaysEdits;
        case StudyTable::fibre:
            return fibreEdits;
        case StudyTable::recipes:
            return recipesEdits;
        case StudyTable::recipeParts:
            return recipePartsEdits;
        case StudyTable::diaryItems:
            return diaryItemsEdits;
        case StudyTable::diary:
            return diaryEdits;
        case StudyTable::events:
            break;
    }
    return eventsEdits;
}

std::size_t columnCountOf(const Study& study, StudyTable table) {
    switch (table) {
        case StudyTable::samples:
            return columnsBeforeAnalytes + study.analytes.size() + 1;
        case StudyTable::visits:
            return 7;
        case StudyTable::analytes:
            return 3;
        case StudyTable::foods:
            return 5 + compositionFields().size();
        case StudyTable::assaySamples:
            return 9;
        case StudyTable::assays:
            return 7;
        case StudyTable::diary:
            return columnsBeforeItems + study.diary.items.size() + columnsAfterItems;
        case StudyTable::diaryItems:
            return 6;
        case StudyTable::fibre:
        case StudyTable::recipes:
        case StudyTable::recipeParts:
        case StudyTable::events:
            return 8;
        case StudyTable::subjects:
            break;
    }
    return 5;
}

Problem cellProblem(std::string_view column, std::string what, std::string remedy) {
    return problemAt({}, 0, column, std::move(what), std::move(remedy));
}

std::string faultOfText(std::string_view text, std::size_t longest) {
    if (firstNotUtf8(text) != text.size()) {
        return quote(text) + " is not UTF-8";
    }
    if (hasControlCharacters(text)) {
        return quote(text) + " holds control characters or line breaks";
    }
    if (text.size() > longest) {
        return quote(text) + " is longer than " + std::to_string(longest) + " bytes";
    }
    return {};
}

Result<std::string> wordsFrom(std::string_view text, std::string_view column) {
    if (std::string fault = faultOfText(text, longestText); !fault.empty()) {
        return cellProblem(column, std::string{column} + ": " + fault,
                           "write a text in one line of at most 2000 bytes");
    }
    const std::string_view words = trimmed(text);
    return readNumber(words).kind == NumberKind::missing ? std::string{} : std::string{words};
}

Result<std::int32_t> countFrom(std::string_view text, std::string_view column, std::int32_t absent) {
    const std::string_view cell = trimmed(text);
    if (readNumber(cell).kind == NumberKind::missing) {
        return absent;
    }
    if (const auto count = countIn(cell)) {
        return *count;
    }
    return cellProblem(
        column, "the " + std::string{column} + " " + quote(cell) + " is not a whole number from 1 to 1000000",
        "number them 1, 2, 3, ...");
}

Result<std::uint32_t> subjectFrom(const Study& study, std::string_view text) {
    if (const auto found = findSubject(study, trimmed(text))) {
        return static_cast<std::uint32_t>(*found);
    }
    return cellProblem(
        "subject",
        trimmed(text).empty() ? "the subject is empty" : "there is no subject " + quote(trimmed(text)),
        "add it to the subjects first, or mend the code");
}

Result<std::uint32_t> foodFrom(const Study& study, std::string_view text) {
    if (const auto found = findFood(study, trimmed(text))) {
        return static_cast<std::uint32_t>(*found);
    }
    return cellProblem(
        "food", trimmed(text).empty() ? "the food is empty" : "there is no food " + quote(trimmed(text)),
        "add it to the foods first, or mend its spelling");
}

std::string numberText(const std::optional<double>& value) {
    return value ? plainNumber(*value) : std::string{};
}

std::string countText(std::int32_t count, std::int32_t absent) {
    return count == absent && absent == 0 ? std::string{} : std::to_string(count);
}

std::string nameOfVisit(const Study& study, std::uint32_t subject, std::uint32_t food, std::int32_t visit) {
    return "subject " + shortened(study.subjects[subject].id) + ", " + shortened(study.foods[food].id) +
           ", visit " + std::to_string(visit);
}

std::optional<Problem> nameInUse(const Study& study, NamedThing thing, const std::string& id) {
    std::string where;
    if (isNamed(study.exclusions, thing, id)) {
        where = "an exclusion";
    } else if (isNamed(study.accepted, thing, id)) {
        where = "an accepted warning";
    } else if (thing == NamedThing::analyte &&
               (study.plan.inference.margins.analyte == id || limitOf(study.plan.curvePlan, id))) {
        where = "the plan";
    } else if (thing == NamedThing::food && study.plan.comparator == id) {
        where = "the plan";
    } else if (thing == NamedThing::assaySample && isSampleNamed(study, id, false)) {
        where = "an exclusion";
    } else if (isNamedInFigures(study, thing, id) ||
               (thing == NamedThing::assaySample && isSampleNamed(study, id, true))) {
        where = "a figure";
    } else {
        return std::nullopt;
    }
    return cellProblem("id", where + " names " + quote(id) + " already, and would then mean another one",
                       "change that first, or choose another name");
}

void renameEverywhere(Study& study, NamedThing thing, const std::string& from, const std::string& to) {
    renameIn(study.exclusions, thing, from, to);
    renameIn(study.accepted, thing, from, to);
    eachInFigures(study.figures, thing, [&](std::string& id) {
        if (id == from) {
            id = to;
        }
    });
    renameInDiary(study.diary, thing, from, to);
    renameInLaboratory(study, thing, from, to);
    if (thing == NamedThing::assaySample) {
        renameSample(study, from, to);
    }
    if (std::string& analyte = study.plan.inference.margins.analyte;
        thing == NamedThing::analyte && analyte == from) {
        analyte = to;
    }
    if (thing == NamedThing::food && study.plan.comparator == from) {
        study.plan.comparator = to;
    }
    if (thing == NamedThing::analyte) {
        auto& limits = study.plan.curvePlan.limits;
        for (LevelLimit& limit : limits) {
            if (limit.analyte == from) {
                limit.analyte = to;
            }
        }
        std::sort(limits.begin(), limits.end(),
                  [](const LevelLimit& a, const LevelLimit& b) { return a.analyte < b.analyte; });
    }
}

std::optional<std::string> subjectUsedIn(const Study& study, std::size_t subject) {
    if (inDiary(study.diary, &DiaryDay::subject, &AdverseEvent::subject, study.subjects[subject].id)) {
        return "diary";
    }
    return usedIn(study, &Draw::subject, &VisitRecord::subject, subject);
}

std::optional<std::string> foodUsedIn(const Study& study, std::size_t food) {
    if (inDiary(study.diary, &DiaryDay::food, &AdverseEvent::food, study.foods[food].id)) {
        return "diary";
    }
    if (inLaboratory(study, study.foods[food].id)) {
        return "assays or recipes";
    }
    return usedIn(study, &Draw::food, &VisitRecord::food, food);
}

}  // namespace aftercurve
