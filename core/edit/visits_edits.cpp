// The visits table: one row a visit of a subject.
#include <algorithm>

#include "core/edit/table_edits.h"
#include "core/files/cell_rules.h"
#include "core/files/delimited.h"
#include "core/files/excerpt.h"
#include "core/files/study_folder.h"
#include "core/files/visits_csv.h"

namespace aftercurve {

namespace {

enum VisitsColumn : std::size_t { subject, food, visit, period, date, mealStart, remark, columnCount };

std::vector<TableColumn> columns(const Study& /*study*/) {
    return {{"subject", "Subject", false, true}, {"food", "Food", false, true},
            {"visit", "Visit", true, false},     {"period", "Period", true, false},
            {"date", "Date", false, false},      {"meal_start", "Meal start", false, false},
            {"remark", "Remark", false, false}};
}

std::size_t rows(const Study& study) {
    return study.visits.size();
}

std::string text(const Study& study, std::size_t row, std::size_t column) {
    const VisitRecord& record = study.visits[row];
    switch (column) {
        case subject:
            return study.subjects[record.subject].id;
        case food:
            return study.foods[record.food].id;
        case visit:
            return std::to_string(record.visit);
        case period:
            return countText(record.period, 0);
        case date:
            return record.date;
        case mealStart:
            return record.mealStart;
        default:
            return record.remark;
    }
}

Result<std::string> checkedWords(std::string_view text, std::string_view column,
                                 bool (*fits)(std::string_view), const char* fault, const char* remedy) {
    Result<std::string> words = wordsFrom(text, column);
    if (words && !words.value().empty() && !fits(words.value())) {
        return cellProblem(column, std::string{column} + ": " + quote(words.value()) + " " + fault, remedy);
    }
    return words;
}

/// Writes one cell into a record.
Result<Done> put(const Study& study, VisitRecord& record, std::size_t column, std::string_view text) {
    const auto keep = [](auto read, auto& target) -> Result<Done> {
        if (!read) {
            return read.problem();
        }
        target = std::move(read).value();
        return Done{};
    };
    switch (column) {
        case subject:
            return keep(subjectFrom(study, text), record.subject);
        case food:
            return keep(foodFrom(study, text), record.food);
        case visit:
            return keep(countFrom(text, "visit", 1), record.visit);
        case period:
            return keep(countFrom(text, "period", 0), record.period);
        case date:
            return keep(checkedWords(text, "date", isIsoDate, "is not a date YYYY-MM-DD",
                                     "write it as 2026-03-02, or leave it empty"),
                        record.date);
        case mealStart:
            return keep(checkedWords(text, "meal_start", isClockTime, "is not a clock time HH:MM",
                                     "write it as 08:05, or leave it empty"),
                        record.mealStart);
        default:
            break;
    }
    if (std::string fault = faultOfText(text, longestText); !fault.empty()) {
        return cellProblem("remark", "remark: " + fault, "write it in one line of at most 2000 bytes");
    }
    record.remark = std::string{trimmed(text)};
    return Done{};
}

/// Fails where another row holds the same visit.
Result<Done> checkOnlyOne(const Study& study, const VisitRecord& record, std::optional<std::size_t> row) {
    for (std::size_t i = 0; i < study.visits.size(); ++i) {
        const VisitRecord& other = study.visits[i];
        if (i != row && other.subject == record.subject && other.food == record.food &&
            other.visit == record.visit) {
            return cellProblem(
                "visit",
                nameOfVisit(study, record.subject, record.food, record.visit) + " is in the visits already",
                "keep one row a visit");
        }
    }
    return Done{};
}

Result<Done> set(Study& study, const SetCell& cell) {
    const std::size_t row = cell.row;
    const std::size_t column = cell.column;
    const std::string& newText = cell.text;
    VisitRecord record = study.visits[row];
    if (Result<Done> done = put(study, record, column, newText); !done) {
        return done;
    }
    if (Result<Done> done = checkOnlyOne(study, record, row); !done) {
        return done;
    }
    study.visits[row] = std::move(record);
    return Done{};
}

Result<std::size_t> insert(Study& study, const InsertRow& change) {
    if (study.visits.size() >= ReadLimits{}.rows) {
        return cellProblem({}, "the study has as many visits as are read", "split the study");
    }
    VisitRecord record;
    for (std::size_t column = 0; column < columnCount; ++column) {
        if (Result<Done> done = put(study, record, column, change.cells[column]); !done) {
            return done.problem();
        }
    }
    if (Result<Done> done = checkOnlyOne(study, record, std::nullopt); !done) {
        return done.problem();
    }
    record.row = fittingLine(change.line, change.row, study.visits.size(),
                             [&](std::size_t i) { return study.visits[i].row; });
    study.visits.insert(study.visits.begin() + static_cast<std::ptrdiff_t>(change.row), std::move(record));
    return change.row;
}

Result<Done> remove(Study& study, const RemoveRow& change) {
    const std::size_t row = change.row;
    study.visits.erase(study.visits.begin() + static_cast<std::ptrdiff_t>(row));
    return Done{};
}

std::string nameOfRow(const Study& study, std::size_t row) {
    const VisitRecord& record = study.visits[row];
    return nameOfVisit(study, record.subject, record.food, record.visit);
}

std::size_t lineOf(const Study& study, std::size_t row) {
    return study.visits[row].row;
}

}  // namespace

const TableEdits visitsEdits{columns, rows, text, set, insert, remove, nameOfRow, lineOf};

}  // namespace aftercurve
