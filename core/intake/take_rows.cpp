#include "core/intake/take_rows.h"

#include <algorithm>
#include <cmath>

#include "core/base/number_text.h"
#include "core/files/excerpt.h"
#include "core/files/number_cell.h"
#include "core/intake/fold_text.h"
#include "core/intake/time_text.h"
#include "core/study/units.h"

namespace aftercurve {

namespace {

constexpr std::size_t roleCount = static_cast<std::size_t>(ColumnRole::bmi) + 1;
constexpr std::size_t longestId = 100;
constexpr std::size_t mostUnknownFoods = 100;

bool isWholeNumber(std::string_view code) {
    return !code.empty() && code.find_first_not_of("0123456789") == std::string_view::npos;
}

}  // namespace

RowTaker::RowTaker(const RowContext& context, const InputTable& table, std::uint32_t tableIndex,
                   const TableMapping& how, const Binding& binding, Gathered& gathered, ProblemList& problems)
    : context_(context),
      table_(table),
      tableIndex_(tableIndex),
      how_(how),
      gathered_(gathered),
      problems_(problems),
      name_(nameOf(table)),
      header_(binding.header),
      place_(roleCount),
      minutesPerUnit_(roleCount, 1.0) {
    for (const BoundColumn& column : binding.columns) {
        if (column.how.role == ColumnRole::analyte) {
            addValueColumn(column);
        } else if (column.how.role == ColumnRole::dilution) {
            dilutions_.push_back(column);
        } else {
            roles_.emplace(column.how.role, column);
            place_[static_cast<std::size_t>(column.how.role)] = column.index;
        }
    }
    for (const auto& [role, column] : roles_) {
        minutesPerUnit_[static_cast<std::size_t>(role)] = column.how.unit == "h" ? 60.0 : 1.0;
    }
    hasVisitFacts_ = how.layout == Layout::visits || isPlaced(ColumnRole::remark) ||
                     isPlaced(ColumnRole::date) || isPlaced(ColumnRole::mealStart);
    hasSubjectFacts_ = isPlaced(ColumnRole::sequence) || isPlaced(ColumnRole::sex) ||
                       isPlaced(ColumnRole::age) || isPlaced(ColumnRole::bmi);
    fixedSubject_ = how.subjectFrom == Origin::fixed ? how.subject : originText(table, how.subjectFrom);
    fixedFood_ = how.foodFrom == Origin::fixed ? how.food : originText(table, how.foodFrom);
    dilution_.resize(context.units.size(), 1.0);
}

void RowTaker::addValueColumn(const BoundColumn& column) {
    if (how_.layout == Layout::visits || how_.layout == Layout::subjects) {
        return;
    }
    const std::string analyte = analyteOf(how_, column.how);
    ValueColumn value;
    value.index = column.index;
    const auto& analytes = context_.mapping.analytes;
    const auto found = std::find_if(analytes.begin(), analytes.end(),
                                    [&](const AnalyteMapping& a) { return a.id == analyte; });
    value.analyte = static_cast<std::uint32_t>(found - analytes.begin());
    const auto factor = conversionFactor(analyte, unitOf(context_.mapping, how_, column.how),
                                         context_.units[value.analyte], {found->pmolPerUiu});
    value.factor = factor ? factor.value() : 1.0;  // the mapping was checked
    value.name = column.how.header.empty() ? "column " + std::to_string(column.index + 1) : column.how.header;
    const bool byTime = how_.layout == Layout::wideByTime;
    const bool bySubject = how_.layout == Layout::wideBySubject;
    const std::optional<double> time = byTime ? column.how.timeMin : std::nullopt;
    std::string subject = column.how.subject;
    if (bySubject && subject.empty()) {
        subject = column.how.header;
    }
    const std::string food = bySubject ? column.how.food : std::string{};
    for (Group& group : groups_) {
        if (group.timeMin == time && group.replicate == column.how.replicate &&
            (!bySubject || (group.subject == subject && group.food == food))) {
            group.columns.push_back(std::move(value));
            return;
        }
    }
    groups_.push_back(
        {time, bySubject ? subject : std::string{}, food, column.how.replicate, {std::move(value)}});
}

RawCell RowTaker::cellAt(std::size_t column) const {
    return column < now_.cells.size() ? now_.cells[column] : RawCell{};
}

RawCell RowTaker::cellOf(ColumnRole role) const {
    const auto place = place_[static_cast<std::size_t>(role)];
    return place ? cellAt(*place) : RawCell{};
}

std::string RowTaker::headerOf(ColumnRole role) const {
    const auto found = roles_.find(role);
    if (found == roles_.end()) {
        return std::string{wordFor(role)};
    }
    return found->second.how.header.empty() ? "column " + std::to_string(found->second.index + 1)
                                            : found->second.how.header;
}

bool RowTaker::isMissing(std::string_view text) const {
    const auto& words = context_.mapping.missingWords;
    return text.empty() || std::find(words.begin(), words.end(), text) != words.end();
}

void RowTaker::fail(std::string_view column, std::string what, std::string remedy) {
    problems_.add(Weight::fatal,
                  [&] { return problemAt(name_, now_.row, column, std::move(what), std::move(remedy)); });
}

bool RowTaker::isSkipped() {
    const auto first = std::find_if(now_.cells.begin(), now_.cells.end(),
                                    [](const RawCell& cell) { return !stripped(cell.text).empty(); });
    if (first == now_.cells.end()) {
        did(Deed::emptyRow);
        return true;
    }
    if (stripped(first->text).front() == '#') {
        did(Deed::comment);
        return true;
    }
    if (repeatsHeader(header_, now_.cells)) {
        did(Deed::repeatedHeader);
        return true;
    }
    const auto& names = context_.mapping.skipRowsNamed;
    for (const ColumnRole role : {ColumnRole::subject, ColumnRole::time, ColumnRole::nominalTime}) {
        if (names.empty()) {
            break;
        }
        const std::string_view text = stripped(cellOf(role).text);
        if (!text.empty() && std::find(names.begin(), names.end(), text) != names.end()) {
            did(Deed::namedRow);
            return true;
        }
    }
    return false;
}

/// The text of a cell; where it is empty and the mapping says so, the last one that was not.
std::string_view RowTaker::filled(ColumnRole role, std::string& last) {
    const std::string_view text = stripped(cellOf(role).text);
    if (!how_.fillDown) {
        return text;
    }
    if (!text.empty()) {
        last = text;
    }
    return last;
}

RowTaker::Found RowTaker::readSubject(std::string_view code, std::uint32_t& subject) {
    if (code == lastCode_ && !code.empty()) {
        subject = lastSubject_;
        if (lastPadded_) {
            did(Deed::padded);
        }
        return Found::ok;
    }
    if (isMissing(code)) {
        return Found::absent;
    }
    if (code.size() > longestId || hasControlCharacters(code)) {
        fail(headerOf(ColumnRole::subject),
             quote(code) + " is no code: longer than 100 bytes, or with control characters",
             "use a short code");
        return Found::fault;
    }
    const auto digits = static_cast<std::size_t>(context_.mapping.subjectDigits.value_or(0));
    std::string id{code};
    lastPadded_ = isWholeNumber(code) && code.size() < digits;
    if (lastPadded_) {
        id.insert(0, digits - code.size(), '0');
        did(Deed::padded);
    }
    subject = subjectAt(gathered_, id);
    lastCode_ = code;
    lastSubject_ = subject;
    return Found::ok;
}

RowTaker::Found RowTaker::readFood(std::string_view text, std::uint32_t& food) {
    if (text == lastFoodText_ && !text.empty()) {
        food = lastFood_;
        if (lastRenamed_ != nullptr) {
            lastRenamed_->add(now_.row);
        }
        return Found::ok;
    }
    if (text.empty()) {
        return Found::absent;
    }
    const auto found = context_.foods.find(text);
    if (found == context_.foods.end()) {
        if (isMissing(text)) {
            return Found::absent;
        }
        if (gathered_.unknownFoods.size() < mostUnknownFoods) {
            gathered_.unknownFoods[{name_, printable(text)}].add(now_.row);
        }
        return Found::fault;
    }
    food = found->second;
    const std::string& id = context_.mapping.foods[food].id;
    lastRenamed_ = id == text ? nullptr : &gathered_.renamed[{std::string{text}, id}];
    if (lastRenamed_ != nullptr) {
        lastRenamed_->add(now_.row);
    }
    lastFoodText_ = text;
    lastFood_ = food;
    return Found::ok;
}

/// A number from 1, also behind a word ("V2", "Visit 2"). False: reported.
bool RowTaker::readCount(ColumnRole role, std::string_view text, std::int32_t& count) {
    if (isMissing(text)) {
        return true;
    }
    std::string_view digits = text;
    if (const std::size_t last = text.find_last_not_of("0123456789"); last != std::string_view::npos) {
        digits = text.substr(last + 1);
        // "2.0" and "-1" are no numbers behind a word.
        if (text.find_first_of("0123456789.,-+") < last + 1) {
            digits = {};
        }
    }
    if (role == ColumnRole::replicate && text.size() == 1 && digits.empty()) {
        const char letter = static_cast<char>(text[0] | 0x20);
        if (letter >= 'a' && letter <= 'z') {
            count = letter - 'a' + 1;
            return true;
        }
    }
    const NumberCell number = readNumber(digits);
    if (digits.empty() || number.kind != NumberKind::value || number.value < 1.0 || number.value > 1e6) {
        fail(headerOf(role),
             quote(text) + " is no " + std::string{wordFor(role)} + ": a whole number from 1 is expected",
             "mend it in the file");
        return false;
    }
    if (digits.size() != text.size()) {
        did(Deed::visitText);
    }
    count = static_cast<std::int32_t>(number.value);
    return true;
}

bool RowTaker::readMinutes(ColumnRole role, std::optional<double>& minutes) {
    const RawCell cell = cellOf(role);
    const double perUnit = minutesPerUnit_[static_cast<std::size_t>(role)];
    const std::string_view text = stripped(cell.text);
    if (text.empty()) {
        return true;
    }
    if (cell.kind == CellKind::number) {
        minutes = cell.number * perUnit;
    } else if (cell.kind == CellKind::duration) {
        minutes = cell.number * 1440.0;
    } else if (cell.kind == CellKind::text) {
        const NumberCell plain =
            how_.dialect.decimalMark == '.' ? readNumber(text) : NumberCell{NumberKind::text, 0.0};
        minutes = plain.kind == NumberKind::value ? std::optional{plain.value * perUnit}
                                                  : minutesFrom(text, perUnit);
    }
    if (!minutes) {
        for (const TimeText& word : context_.mapping.timeTexts) {
            if (word.text == text) {
                minutes = word.minutes;
                did(Deed::timeWord);
            }
        }
    }
    if (minutes && std::abs(*minutes) <= 1e6) {
        return true;
    }
    if (!minutes && isMissing(text)) {
        return true;
    }
    fail(headerOf(role), quote(text) + " is no time in minutes",
         "mend it in the file, or say in time_texts which time it is; for times of day use the role "
         "clock-time");
    return false;
}

bool RowTaker::readClock(ColumnRole role, std::optional<double>& clock) {
    const RawCell cell = cellOf(role);
    const std::string_view text = stripped(cell.text);
    if (isMissing(text)) {
        return true;
    }
    if (cell.kind == CellKind::clock || cell.kind == CellKind::date) {
        clock = (cell.number - std::floor(cell.number)) * 1440.0;
    } else if (cell.kind == CellKind::number && cell.number >= 0.0 && cell.number < 1.0) {
        clock = cell.number * 1440.0;
        did(Deed::clockNumber);
    } else if (cell.kind == CellKind::text) {
        clock = clockFrom(text);
    }
    if (clock) {
        // Parts of a day are not exact in binary; a time of day is, to the second.
        clock = std::round(*clock * 60.0) / 60.0;
        return true;
    }
    fail(headerOf(role), quote(text) + " is no time of day", "write it as 08:05, or mend it in the file");
    return false;
}

bool RowTaker::readTimes(Times& times) {
    bool ok = readMinutes(ColumnRole::time, times.actual);
    ok = readMinutes(ColumnRole::nominalTime, times.nominal) && ok;
    return readClock(ColumnRole::clockTime, times.clock) && ok;
}

bool RowTaker::readDilutions() {
    std::fill(dilution_.begin(), dilution_.end(), 1.0);
    for (const BoundColumn& column : dilutions_) {
        const RawCell cell = cellAt(column.index);
        const std::string_view text = stripped(cell.text);
        const CellValue value = readConcentration(cell, how_.dialect.decimalMark);
        if (isMissing(text)) {
            did(Deed::noDilution);
            continue;
        }
        if (value.kind != CellValueKind::value || value.number <= 0.0) {
            fail(column.how.header, quote(text) + " is no dilution: a factor above 0 is expected",
                 "mend it in the file");
            return false;
        }
        if (value.number == 1.0) {
            continue;
        }
        if (context_.mapping.dilution == DilutionRule::alreadyApplied) {
            did(Deed::dilutionKept);
            continue;
        }
        did(Deed::multiplied);
        for (std::size_t a = 0; a < dilution_.size(); ++a) {
            if (column.how.analyte.empty() || column.how.analyte == context_.mapping.analytes[a].id) {
                dilution_[a] *= value.number;
            }
        }
    }
    return true;
}

bool RowTaker::readVisit(std::int32_t& visit, std::int32_t& period, std::int32_t& replicate) {
    bool ok = true;
    if (how_.visitFrom == Origin::column) {
        ok = readCount(ColumnRole::visit, filled(ColumnRole::visit, filledVisit_), visit);
    } else if (how_.visitFrom == Origin::fixed) {
        visit = how_.visit;
    } else {
        ok = readCount(ColumnRole::visit, originText(table_, how_.visitFrom), visit);
    }
    ok = readCount(ColumnRole::period, filled(ColumnRole::period, filledPeriod_), period) && ok;
    return readCount(ColumnRole::replicate, stripped(cellOf(ColumnRole::replicate).text), replicate) && ok;
}

}  // namespace aftercurve
