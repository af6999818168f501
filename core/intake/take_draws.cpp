// The second half of RowTaker: from the facts of a row to its draws, visit and subject.
#include <algorithm>

#include "core/files/excerpt.h"
#include "core/intake/fold_text.h"
#include "core/intake/take_rows.h"
#include "core/intake/time_text.h"

namespace aftercurve {

namespace {

constexpr const char* mendCell =
    "mend it in the file, or add the text to missing_words if it means a missing value";

}  // namespace

void RowTaker::take(std::size_t row, std::span<const RawCell> cells) {
    now_ = {row, cells};
    if (!isSkipped()) {
        takeDraws();
    }
}

bool RowTaker::hasAnyValue() const {
    return std::any_of(groups_.begin(), groups_.end(), [this](const Group& group) {
        return std::any_of(group.columns.begin(), group.columns.end(), [this](const ValueColumn& column) {
            return !stripped(cellAt(column.index).text).empty();
        });
    });
}

void RowTaker::takeDraws() {
    const bool bySubject = how_.layout == Layout::wideBySubject;
    Draw draw;
    draw.file = tableIndex_;
    draw.row = static_cast<std::uint32_t>(now_.row);
    if (how_.layout == Layout::wideByTime && !hasAnyValue()) {
        did(Deed::noValues);
        return;
    }
    bool ok = true;
    if (!bySubject) {
        const std::string_view code = how_.subjectFrom == Origin::column
                                          ? filled(ColumnRole::subject, filledSubject_)
                                          : std::string_view{fixedSubject_};
        if (how_.fillDown && how_.subjectFrom == Origin::column &&
            stripped(cellOf(ColumnRole::subject).text).empty()) {
            did(Deed::filledDown);
        }
        const Found found = readSubject(code, draw.subject);
        if (found == Found::absent) {
            fail(headerOf(ColumnRole::subject), "the row has no subject",
                 "mend it in the file; set fill_down where an empty cell means that of the row above, or "
                 "last_row where "
                 "the data end before it");
        }
        ok = found == Found::ok;
    }
    if (how_.layout == Layout::subjects) {
        if (ok) {
            keepSubjectFacts(draw.subject);
        }
        return;
    }
    const bool foodByColumn =
        bySubject &&
        std::all_of(groups_.begin(), groups_.end(), [](const Group& group) { return !group.food.empty(); });
    if (!foodByColumn) {
        const std::string_view text = how_.foodFrom == Origin::column ? filled(ColumnRole::food, filledFood_)
                                                                      : std::string_view{fixedFood_};
        const Found found = readFood(text, draw.food);
        if (found == Found::absent) {
            fail(headerOf(ColumnRole::food), "the row has no food", "mend it in the file, or set fill_down");
        }
        ok = found == Found::ok && ok;
    }
    std::int32_t replicate = 0;
    ok = readVisit(draw.visit, draw.period, replicate) && ok;
    if (ok && !bySubject) {
        if (hasVisitFacts_) {
            keepVisit({draw.subject, draw.food, draw.visit}, draw.period);
        }
        if (hasSubjectFacts_) {
            keepSubjectFacts(draw.subject);
        }
    }
    if (how_.layout == Layout::visits) {
        return;
    }
    Times times;
    ok = readTimes(times) && ok;
    ok = readDilutions() && ok;
    if (!ok) {
        return;
    }
    if (how_.layout != Layout::wideByTime && !times.actual && !times.nominal && !times.clock) {
        if (!hasAnyValue()) {
            did(Deed::noValues);
            return;
        }
        fail(headerOf(ColumnRole::time), "the row has no time",
             "mend it in the file, or set last_row where the data end before it");
        return;
    }
    for (const Group& group : groups_) {
        Draw one = draw;
        if (bySubject && readSubject(group.subject, one.subject) != Found::ok) {
            fail(group.subject, "the column has no subject", "set subject of the column in the mapping");
            return;
        }
        if (!group.food.empty() && readFood(group.food, one.food) != Found::ok) {
            return;
        }
        if (bySubject && hasVisitFacts_) {
            keepVisit({one.subject, one.food, one.visit}, one.period);
        }
        Times at = times;
        if (group.timeMin) {
            at.actual = group.timeMin;
        }
        addDraw(group, one, at, group.replicate > 0 ? group.replicate : replicate);
    }
}

void RowTaker::addDraw(const Group& group, const Draw& draw, const Times& times, std::int32_t replicate) {
    if (gathered_.draws.size() >= gathered_.limit) {
        if (gathered_.draws.size() == gathered_.limit) {
            fail("", "there are more than " + std::to_string(gathered_.limit) + " draws",
                 "take in fewer files at once");
        }
        return;
    }
    Draw one = draw;
    one.timeMin = times.actual ? *times.actual : times.nominal.value_or(0.0);
    const auto index = static_cast<std::uint32_t>(gathered_.draws.size());
    gathered_.draws.push_back(one);
    if (gathered_.withNominal) {
        gathered_.nominal.push_back(times.nominal);
        const bool none = !times.actual && !times.clock;
        gathered_.noActual.push_back(none);
        if (none && (place_[static_cast<std::size_t>(ColumnRole::time)] ||
                     place_[static_cast<std::size_t>(ColumnRole::clockTime)])) {
            did(Deed::noActualTime);
        }
    }
    if (gathered_.withClock) {
        gathered_.clock.push_back(times.clock);
    }
    if (gathered_.withReplicate) {
        gathered_.replicate.push_back(std::max(replicate, 1));
    }
    for (auto& values : gathered_.concentrations) {
        values.emplace_back();
    }
    for (const ValueColumn& column : group.columns) {
        readValue(column, index, gathered_.concentrations[column.analyte].back());
    }
    if (how_.layout != Layout::wideByTime && place_[static_cast<std::size_t>(ColumnRole::remark)]) {
        if (const std::string_view text = stripped(cellOf(ColumnRole::remark).text); !text.empty()) {
            gathered_.remarks.push_back({index, remarkOf(text)});
        }
    }
}

/// A remark on one line: each line break with the blanks around it is one blank.
std::string RowTaker::remarkOf(std::string_view text) {
    if (text.find_first_of("\n\r") == std::string_view::npos) {
        return printable(text);
    }
    did(Deed::remarkLines);
    std::string line;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find_first_of("\n\r"), text.size());
        const std::string_view part = stripped(text.substr(0, end));
        line += (line.empty() || part.empty() ? "" : " ") + std::string{part};
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return printable(line);
}

bool RowTaker::readLimitWord(std::string_view text, std::uint32_t analyte, double& limit) {
    for (const LimitText& word : context_.mapping.limitTexts) {
        if (word.text == text && word.limit &&
            (word.analyte.empty() || word.analyte == context_.mapping.analytes[analyte].id)) {
            limit = *word.limit;
            return true;
        }
    }
    return false;
}

void RowTaker::readValue(const ValueColumn& column, std::uint32_t draw, std::optional<double>& target) {
    const RawCell cell = cellAt(column.index);
    const CellValue value = readConcentration(cell, how_.dialect.decimalMark);
    const double factor = column.factor * dilution_[column.analyte];
    if (value.kind == CellValueKind::value && value.number >= 0.0) {
        target = value.number * factor;
        return;
    }
    if (value.kind == CellValueKind::empty) {
        return;
    }
    const std::string_view text = stripped(cell.text);
    double limit = value.number;
    if (value.kind == CellValueKind::belowLimit) {
        did(Deed::belowLimit);
        gathered_.belowLimit.push_back({draw, column.analyte, limit * factor});
    } else if (value.kind == CellValueKind::value) {
        fail(column.name, quote(text) + " is negative", "a concentration cannot be; mend it in the file");
    } else if (readLimitWord(text, column.analyte, limit)) {
        did(Deed::limitWord);
        gathered_.belowLimit.push_back({draw, column.analyte, limit * factor});
    } else if (!isMissing(text)) {
        fail(column.name, quote(text) + " " + std::string{value.fault}, mendCell);
    }
}

/// Facts of a visit, added where it is new; rows of one visit mostly follow each other.
VisitFacts& RowTaker::factsOf(const VisitKey& key) {
    if (lastVisitFacts_ == nullptr || lastVisit_ != key) {
        lastVisit_ = key;
        lastVisitFacts_ = &gathered_.visits[key];
    }
    return *lastVisitFacts_;
}

void RowTaker::keepVisit(const VisitKey& key, std::int32_t period) {
    const bool remarkOfVisit = how_.layout == Layout::wideByTime || how_.layout == Layout::visits;
    const std::string_view remark =
        remarkOfVisit ? stripped(cellOf(ColumnRole::remark).text) : std::string_view{};
    const RawCell dateCell = cellOf(ColumnRole::date);
    const std::string_view dateText = stripped(dateCell.text);
    const bool hasMeal = isPlaced(ColumnRole::mealStart);
    if (how_.layout != Layout::visits && remark.empty() && dateText.empty() && !hasMeal) {
        return;
    }
    std::optional<double> meal;
    if (hasMeal && !readClock(ColumnRole::mealStart, meal)) {
        return;
    }
    std::string date;
    if (!isMissing(dateText)) {
        const auto iso = dateFrom(dateText, context_.mapping.dateOrder);
        if (!iso) {
            const bool both = dateFormOf(dateText) != DateForm::none;
            fail(headerOf(ColumnRole::date),
                 quote(dateText) + (both ? " does not read as a date in one way" : " is no date"),
                 both ? "set date_order to day-month or month-day, or mend it in the file"
                      : "write it as 2026-03-02");
            return;
        }
        date = *iso;
    }
    if (date.empty() && remark.empty() && !meal && how_.layout != Layout::visits) {
        return;
    }
    gathered_.keepVisits = true;
    VisitFacts& facts = factsOf(key);
    if (facts.row == 0) {
        facts.table = tableIndex_;
        facts.row = static_cast<std::uint32_t>(now_.row);
    }
    const auto differs = [&](const std::string& what, const std::string& one, const std::string& other) {
        problems_.add(Weight::warning, [&] {
            Problem problem =
                problemAt(name_, now_.row, "",
                          "the visit has two " + what + ", " + one + " and " + other + "; the first is kept",
                          "check which one holds");
            problem.subject = gathered_.subjects[key.subject].id;
            problem.food = context_.mapping.foods[key.food].id;
            problem.visit = key.visit;
            return problem;
        });
    };
    if (facts.period == 0) {
        facts.period = period;
    } else if (period != 0 && period != facts.period) {
        differs("periods", std::to_string(facts.period), std::to_string(period));
    }
    if (facts.date.empty()) {
        facts.date = date;
    } else if (!date.empty() && date != facts.date) {
        differs("dates", facts.date, date);
    }
    if (meal && !facts.mealStart) {
        facts.mealStart = meal;
    } else if (meal && *meal != *facts.mealStart) {
        fail(headerOf(ColumnRole::mealStart),
             "the meal of the visit starts at " + clockText(*facts.mealStart) + " in another row and at " +
                 clockText(*meal) + " here",
             "keep one of them");
    }
    if (remark.empty()) {
        return;
    }
    if (const std::string line = remarkOf(remark); facts.remark.find(line) == std::string::npos) {
        facts.remark += (facts.remark.empty() ? "" : "; ") + line;
    }
}

void RowTaker::keepSubjectFacts(std::uint32_t index) {
    Subject& subject = gathered_.subjects[index];
    const auto text = [&](ColumnRole role, std::string& kept) {
        const std::string_view found = stripped(cellOf(role).text);
        if (!place_[static_cast<std::size_t>(role)] || isMissing(found)) {
            return;
        }
        gathered_.keepSubjects = true;
        if (kept.empty()) {
            kept = printable(found);
        } else if (kept != printable(found)) {
            fail(headerOf(role),
                 "subject " + quote(subject.id) + " has " + quote(kept) + " in another row and " +
                     quote(found) + " here",
                 "keep one of them");
        }
    };
    const auto number = [&](ColumnRole role, std::optional<double>& kept) {
        const RawCell cell = cellOf(role);
        if (!place_[static_cast<std::size_t>(role)] || isMissing(stripped(cell.text))) {
            return;
        }
        const CellValue value = readConcentration(cell, how_.dialect.decimalMark);
        if (value.kind != CellValueKind::value) {
            fail(headerOf(role), quote(cell.text) + " is not a number", mendCell);
            return;
        }
        gathered_.keepSubjects = true;
        if (kept && *kept != value.number) {
            fail(headerOf(role),
                 "subject " + quote(subject.id) + " has another " + std::string{wordFor(role)} +
                     " in another row",
                 "keep one of them");
        }
        kept = value.number;
    };
    text(ColumnRole::sequence, subject.sequence);
    text(ColumnRole::sex, subject.sex);
    number(ColumnRole::age, subject.ageY);
    number(ColumnRole::bmi, subject.bmiKgM2);
}

}  // namespace aftercurve
