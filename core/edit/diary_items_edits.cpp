// The items that diaries score, which stand in study.json; each is a column of the diary.
#include <algorithm>

#include "core/edit/cell_reading.h"
#include "core/files/delimited.h"
#include "core/files/diary_csv.h"
#include "core/files/diary_json.h"
#include "core/files/excerpt.h"

namespace aftercurve {

namespace {

enum ItemsColumn : std::size_t { id, label, least, most, composite, threshold, columnCount };

std::vector<TableColumn> columns(const Study& /*study*/) {
    return {{"id", "Id", false, true},
            {"label", "Label", false, false},
            {"least", "Least score", true, false},
            {"most", "Most score", true, false},
            {"composite", "In the composite", false, false},
            {"threshold", "Marked from", true, false}};
}

std::size_t rows(const Study& study) {
    return study.diary.items.size();
}

std::string text(const Study& study, std::size_t row, std::size_t column) {
    const DiaryItem& item = study.diary.items[row];
    switch (column) {
        case id:
            return item.id;
        case label:
            return item.label;
        case least:
            return std::to_string(item.least);
        case most:
            return std::to_string(item.most);
        case composite:
            return yesOrNo(item.composite);
        default:
            return std::to_string(item.threshold);
    }
}

Result<int> wholeOr(std::string_view text, std::string_view column, int otherwise) {
    const Result<std::optional<int>> read = wholeFrom(text, column, -largestScore, largestScore);
    return read ? Result<int>{read.value().value_or(otherwise)} : read.problem();
}

/// Writes one cell but the id into an item, whose id is set.
Result<Done> put(DiaryItem& item, std::size_t column, std::string_view words) {
    const DiaryItem usual;
    switch (column) {
        case label: {
            Result<std::string> read = jsonTextFrom(words, "label");
            return read && read.value().empty() ? keep(Result<std::string>{item.id}, item.label)
                                                : keep(std::move(read), item.label);
        }
        case least:
            return keep(wholeOr(words, "least", usual.least), item.least);
        case most:
            return keep(wholeOr(words, "most", usual.most), item.most);
        case composite:
            return keep(yesOrNoFrom(words, "composite", true), item.composite);
        default:
            return keep(wholeOr(words, "threshold", usualThresholdOf(item)), item.threshold);
    }
}

/// Fails where the scale has no ends, or the threshold lies outside it.
Result<Done> checkScale(const DiaryItem& item) {
    if (item.most <= item.least) {
        return cellProblem("most", "most is not above least", "give the two ends of the scale");
    }
    if (item.threshold <= item.least || item.threshold > item.most) {
        return cellProblem("threshold",
                           "the threshold " + std::to_string(item.threshold) + " lies outside " +
                               std::to_string(item.least + 1) + " to " + std::to_string(item.most),
                           "give a score of the scale above its least");
    }
    return Done{};
}

/// Fails where a day has a score that the scale does not hold.
Result<Done> checkScores(const DiaryData& diary, const DiaryItem& item, std::size_t row) {
    for (const DiaryDay& day : diary.days) {
        const std::optional<int>& score = day.scores[row];
        if (score && (*score < item.least || *score > item.most)) {
            return cellProblem("least",
                               "the diary has the score " + std::to_string(*score) + " of " + quote(item.id) +
                                   ", subject " + quote(day.subject) + ", day " + std::to_string(day.day) +
                                   ", outside " + std::to_string(item.least) + " to " +
                                   std::to_string(item.most),
                               "mend the score first, or give the scale other ends");
        }
    }
    return Done{};
}

Result<std::string> newIdFrom(const Study& study, const std::string& text, bool takesBack) {
    Result<std::string> read = entryIdFrom(text, "the item", takesBack);
    if (!read) {
        return read;
    }
    if (isDiaryWord(text)) {
        return cellProblem("id",
                           "the id of the item is " + quote(text) + ", a name that the diary uses itself",
                           "give the item another id");
    }
    const auto& all = study.diary.items;
    if (std::any_of(all.begin(), all.end(), [&](const DiaryItem& one) { return one.id == text; })) {
        return cellProblem("id", "the item " + quote(text) + " is there already", "give each its own id");
    }
    return read;
}

Result<Done> rename(Study& study, const SetCell& cell) {
    DiaryItem& item = study.diary.items[cell.row];
    if (cell.text == item.id) {
        return Done{};
    }
    Result<std::string> newId = newIdFrom(study, cell.text, cell.takesBack);
    if (!newId) {
        return newId.problem();
    }
    if (auto problem = nameInUse(study, NamedThing::diaryItem, newId.value())) {
        return *problem;
    }
    renameEverywhere(study, NamedThing::diaryItem, item.id, newId.value());
    item.id = std::move(newId).value();
    return Done{};
}

Result<Done> set(Study& study, const SetCell& cell) {
    if (cell.column == id) {
        return rename(study, cell);
    }
    DiaryItem item = study.diary.items[cell.row];
    Result<Done> done = put(item, cell.column, cell.text);
    done = done ? checkScale(item) : done;
    done = done ? checkScores(study.diary, item, cell.row) : done;
    if (done) {
        study.diary.items[cell.row] = std::move(item);
    }
    return done;
}

Result<std::size_t> insert(Study& study, const InsertRow& change) {
    DiaryData& diary = study.diary;
    if (diary.items.size() >= mostDiaryItems) {
        return cellProblem(
            {}, "the diary has " + std::to_string(mostDiaryItems) + " items, the most that are read",
            "remove one first");
    }
    Result<std::string> newId = newIdFrom(study, change.cells[id], change.takesBack);
    if (!newId) {
        return newId.problem();
    }
    DiaryItem item;
    item.id = std::move(newId).value();
    for (std::size_t column = label; column < columnCount; ++column) {
        if (const Result<Done> done = put(item, column, change.cells[column]); !done) {
            return done.problem();
        }
    }
    if (const Result<Done> fits = checkScale(item); !fits) {
        return fits.problem();
    }
    putInto(diary.items, change.row, std::move(item));
    if (const auto fault = faultOfSize(diary)) {
        takeOut(diary.items, change.row);
        return cellProblem({}, fault->what, fault->remedy);
    }
    for (DiaryDay& day : diary.days) {
        putInto(day.scores, change.row, std::optional<int>{});
    }
    return change.row;
}

Result<Done> remove(Study& study, const RemoveRow& change) {
    DiaryData& diary = study.diary;
    const auto isScored = [&](const DiaryDay& day) { return day.scores[change.row].has_value(); };
    if (std::any_of(diary.days.begin(), diary.days.end(), isScored)) {
        return cellProblem("id",
                           "the item " + quote(diary.items[change.row].id) +
                               " has scores in the diary, and cannot be removed",
                           "clear its column of the diary first");
    }
    takeOut(diary.items, change.row);
    for (DiaryDay& day : diary.days) {
        takeOut(day.scores, change.row);
    }
    return Done{};
}

std::string nameOfRow(const Study& study, std::size_t row) {
    return "item " + shortened(study.diary.items[row].id);
}

}  // namespace

const TableEdits diaryItemsEdits{columns, rows, text, set, insert, remove, nameOfRow};

}  // namespace aftercurve
