#include "core/sensor/sensor_clock.h"

#include <chrono>
#include <cmath>

#include "core/intake/fold_text.h"
#include "core/intake/time_text.h"

namespace aftercurve {

namespace {

constexpr std::int64_t secondsPerDay = 86'400;

bool isDigit(char c) {
    return c >= '0' && c <= '9';
}

/// The number of `count` digits at `from`; -1 where they are no digits.
int digitsAt(std::string_view text, std::size_t from, std::size_t count) {
    if (from + count > text.size()) {
        return -1;
    }
    int number = 0;
    for (std::size_t i = from; i < from + count; ++i) {
        if (!isDigit(text[i])) {
            return -1;
        }
        number = 10 * number + (text[i] - '0');
    }
    return number;
}

std::optional<std::int64_t> secondOfDay(int year, int month, int day) {
    const std::chrono::year_month_day date{std::chrono::year{year},
                                           std::chrono::month{static_cast<unsigned>(month)},
                                           std::chrono::day{static_cast<unsigned>(day)}};
    if (!date.ok()) {
        return std::nullopt;
    }
    return std::chrono::sys_days{date}.time_since_epoch().count() * secondsPerDay;
}

/// Day of "2026-03-02...".
std::optional<std::int64_t> isoDay(std::string_view text) {
    const int year = digitsAt(text, 0, 4);
    const int month = digitsAt(text, 5, 2);
    const int day = digitsAt(text, 8, 2);
    if (year < 0 || month < 0 || day < 0 || text[4] != '-' || text[7] != '-') {
        return std::nullopt;
    }
    return secondOfDay(year, month, day);
}

/// True for "", "Z", "+02", "+0200", "-05:30".
bool isOffset(std::string_view text) {
    text = stripped(text);
    if (text.empty() || text == "Z" || text == "z") {
        return true;
    }
    if (text[0] != '+' && text[0] != '-') {
        return false;
    }
    text.remove_prefix(1);
    if (text.size() == 5 && text[2] == ':') {
        return digitsAt(text, 0, 2) >= 0 && digitsAt(text, 3, 2) >= 0;
    }
    return (text.size() == 2 || text.size() == 4) && digitsAt(text, 0, text.size()) >= 0;
}

/// The usual form, with one of T and a blank between day and time.
std::optional<SensorClock> isoClock(std::string_view text) {
    if (text.size() < 16 || (text[10] != 'T' && text[10] != ' ') || text[13] != ':') {
        return std::nullopt;
    }
    const auto day = isoDay(text);
    const int hour = digitsAt(text, 11, 2);
    const int minute = digitsAt(text, 14, 2);
    if (!day || hour < 0 || hour > 23 || minute < 0 || minute > 59) {
        return std::nullopt;
    }
    int second = 0;
    std::size_t at = 16;
    if (at < text.size() && text[at] == ':') {
        second = digitsAt(text, 17, 2);
        if (second < 0 || second > 59) {
            return std::nullopt;
        }
        at = 19;
        if (at + 1 < text.size() && (text[at] == '.' || text[at] == ',') && isDigit(text[at + 1])) {
            ++at;
            while (at < text.size() && isDigit(text[at])) {
                ++at;
            }
        }
    }
    const std::string_view rest = text.substr(at);
    if (!isOffset(rest)) {
        return std::nullopt;
    }
    return SensorClock{*day + hour * 3600 + minute * 60 + second, !stripped(rest).empty(),
                       SensorClockFault::none};
}

/// Of 0 to 99.
std::string twoDigits(std::int64_t number) {
    return {static_cast<char>('0' + number / 10 % 10), static_cast<char>('0' + number % 10)};
}

std::int64_t dayOf(std::int64_t second) {
    return second >= 0 ? second / secondsPerDay : -((-second + secondsPerDay - 1) / secondsPerDay);
}

}  // namespace

SensorClock readSensorClock(std::string_view text, std::optional<DateOrder> order) {
    if (const auto iso = isoClock(text)) {
        return *iso;
    }
    const SensorClock unreadable{0, false, SensorClockFault::unreadable};
    const std::size_t border = text.find_first_of(" T");
    if (border == std::string_view::npos) {
        return unreadable;
    }
    const std::string_view date = text.substr(0, border);
    std::string_view time = stripped(text.substr(border + 1));
    const auto clock = clockFrom(time);
    const DateForm form = dateFormOf(date);
    if (!clock || form == DateForm::none) {
        return unreadable;
    }
    if (form != DateForm::ordered && !order) {
        return {0, false, SensorClockFault::needsOrder};
    }
    const auto iso = dateFrom(date, order);
    const auto day = iso ? isoDay(*iso) : std::nullopt;
    if (!day) {
        return unreadable;
    }
    return {*day + static_cast<std::int64_t>(std::floor(*clock * 60.0 + 1e-6)), false,
            SensorClockFault::none};
}

std::string sensorDateText(std::int64_t second) {
    const std::chrono::year_month_day date{
        std::chrono::sys_days{std::chrono::days{static_cast<int>(dayOf(second))}}};
    // A time stamp has a year of four digits.
    const int number = static_cast<int>(date.year());
    const std::string year = twoDigits(number / 100) + twoDigits(number % 100);
    return year + '-' + twoDigits(static_cast<unsigned>(date.month())) + '-' +
           twoDigits(static_cast<unsigned>(date.day()));
}

std::string sensorTimeOfDayText(std::int64_t second) {
    const std::int64_t within = second - dayOf(second) * secondsPerDay;
    std::string text = twoDigits(within / 3600) + ':' + twoDigits(within / 60 % 60);
    if (within % 60 != 0) {
        text += ':' + twoDigits(within % 60);
    }
    return text;
}

std::string sensorClockText(std::int64_t second) {
    return sensorDateText(second) + ' ' + sensorTimeOfDayText(second);
}

}  // namespace aftercurve
