// The diary table: one row a day of a subject with a food.
#include <algorithm>

#include "core/edit/cell_reading.h"
#include "core/files/cell_rules.h"
#include "core/files/delimited.h"
#include "core/files/diary_csv.h"
#include "core/files/diary_json.h"
#include "core/files/excerpt.h"
#include "core/files/study_folder.h"

namespace aftercurve {

namespace {

enum DiaryColumn : std::size_t { subject, food, period, day, doseG };

/// Where a column stands among the items and what follows them.
std::size_t afterItems(const Study& study) {
    return columnsBeforeItems + study.diary.items.size();
}

std::string wholeText(const std::optional<int>& value) {
    return value ? std::to_string(*value) : std::string{};
}

std::vector<TableColumn> columns(const Study& study) {
    std::vector<TableColumn> list{{"subject", "Subject", false, true},
                                  {"food", "Food", false, true},
                                  {"period", "Period", true, false},
                                  {"day", "Day", true, true},
                                  {"dose_g", "Dose (g)", true, false}};
    for (const DiaryItem& item : study.diary.items) {
        list.push_back(
            {item.id,
             item.label + " (" + std::to_string(item.least) + " to " + std::to_string(item.most) + ")", true,
             false});
    }
    list.push_back({"stool_form", "Stool form (1 to 7)", true, false});
    list.push_back({"stools", "Stools", true, false});
    return list;
}

std::size_t rows(const Study& study) {
    return study.diary.days.size();
}

std::string text(const Study& study, std::size_t row, std::size_t column) {
    const DiaryDay& one = study.diary.days[row];
    switch (column) {
        case subject:
            return one.subject;
        case food:
            return one.food;
        case period:
            return countText(one.period, 0);
        case day:
            return std::to_string(one.day);
        case doseG:
            return numberText(one.doseG);
        default:
            break;
    }
    const std::size_t last = afterItems(study);
    return column < last ? wholeText(one.scores[column - columnsBeforeItems])
                         : wholeText(column == last ? one.stoolForm : one.stools);
}

Result<int> dayFrom(std::string_view text) {
    const auto count = countIn(trimmed(text));
    if (count && *count <= mostDiaryDays) {
        return *count;
    }
    return cellProblem("day",
                       "the day " + quote(trimmed(text)) + " is not a whole number from 1 to " +
                           std::to_string(mostDiaryDays),
                       "number the days of eating the food 1, 2, 3, ...");
}

Result<std::string> foodOfDay(const Study& study, std::string_view text) {
    const Result<std::uint32_t> found = foodFrom(study, text);
    return found ? Result<std::string>{study.foods[found.value()].id} : found.problem();
}

/// Writes one cell into a day.
Result<Done> put(const Study& study, DiaryDay& one, std::size_t column, std::string_view words) {
    switch (column) {
        case subject:
            return keep(subjectIdFrom(study, words, false), one.subject);
        case food:
            return keep(foodOfDay(study, words), one.food);
        case period:
            return keep(countFrom(words, "period", 0), one.period);
        case day:
            return keep(dayFrom(words), one.day);
        case doseG:
            return keep(amountFrom(words, "dose_g", 0.0, largestDoseG), one.doseG);
        default:
            break;
    }
    const std::size_t last = afterItems(study);
    if (column < last) {
        const std::size_t index = column - columnsBeforeItems;
        const DiaryItem& item = study.diary.items[index];
        return keep(wholeFrom(words, item.id, item.least, item.most), one.scores[index]);
    }
    return column == last ? keep(wholeFrom(words, "stool_form", firstStoolForm, lastStoolForm), one.stoolForm)
                          : keep(wholeFrom(words, "stools", 0, mostStools), one.stools);
}

/// Fails where another row holds the same day.
Result<Done> checkOnlyOne(const Study& study, const DiaryDay& one, std::optional<std::size_t> row) {
    const auto& all = study.diary.days;
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (i != row && all[i].day == one.day && all[i].period == one.period &&
            all[i].subject == one.subject && all[i].food == one.food) {
            return cellProblem("day",
                               "subject " + quote(one.subject) + ", food " + quote(one.food) + ", period " +
                                   (one.period > 0 ? std::to_string(one.period) : std::string{"not given"}) +
                                   ", day " + std::to_string(one.day) + " is there twice",
                               "keep one row a day");
        }
    }
    return Done{};
}

/// Whether the diary is one that is read.
Result<Done> checkSize(const DiaryData& diary) {
    if (const auto fault = faultOfSize(diary)) {
        return cellProblem(fault->column, fault->what, fault->remedy);
    }
    return Done{};
}

Result<Done> set(Study& study, const SetCell& cell) {
    DiaryDay one = study.diary.days[cell.row];
    Result<Done> done = put(study, one, cell.column, cell.text);
    done = done && cell.column <= day ? checkOnlyOne(study, one, cell.row) : done;
    if (!done) {
        return done;
    }
    std::swap(study.diary.days[cell.row], one);
    if (cell.column <= doseG) {
        done = checkSize(study.diary);
    }
    if (!done) {
        study.diary.days[cell.row] = std::move(one);
    }
    return done;
}

Result<std::size_t> insert(Study& study, const InsertRow& change) {
    std::vector<DiaryDay>& days = study.diary.days;
    if (days.size() >= ReadLimits{}.rows) {
        return cellProblem({}, "the diary has as many days as are read", "split the study");
    }
    DiaryDay one;
    one.scores.resize(study.diary.items.size());
    for (std::size_t column = 0; column < change.cells.size(); ++column) {
        if (const Result<Done> done = put(study, one, column, change.cells[column]); !done) {
            return done.problem();
        }
    }
    if (const Result<Done> fits = checkOnlyOne(study, one, std::nullopt); !fits) {
        return fits.problem();
    }
    one.row = fittingLine(change.line, change.row, days.size(),
                          [&](std::size_t i) { return static_cast<std::uint32_t>(days[i].row); });
    putInto(days, change.row, std::move(one));
    if (const Result<Done> fits = checkSize(study.diary); !fits) {
        takeOut(days, change.row);
        return fits.problem();
    }
    return change.row;
}

Result<Done> remove(Study& study, const RemoveRow& change) {
    takeOut(study.diary.days, change.row);
    return Done{};
}

std::string nameOfRow(const Study& study, std::size_t row) {
    const DiaryDay& one = study.diary.days[row];
    const std::string where = one.period > 0 ? ", period " + std::to_string(one.period) : std::string{};
    return "subject " + shortened(one.subject) + ", " + shortened(one.food) + where + ", day " +
           std::to_string(one.day);
}

std::size_t lineOf(const Study& study, std::size_t row) {
    return study.diary.days[row].row;
}

}  // namespace

const TableEdits diaryEdits{columns, rows, text, set, insert, remove, nameOfRow, lineOf};

}  // namespace aftercurve
