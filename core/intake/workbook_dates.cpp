#include "core/intake/workbook_dates.h"

#include <chrono>
#include <cmath>
#include <utility>

namespace aftercurve {

namespace {

constexpr long long daySeconds = 86400;
constexpr double endOfDates = 2958466.0;  ///< 10000-01-01
constexpr double days1904 = 1462.0;       ///< from 1899-12-30 to 1904-01-01
constexpr double longestDuration = 1e6;
constexpr std::chrono::sys_days origin{std::chrono::year{1899} / 12 / 30};

void appendTwoDigits(long long value, std::string& text) {
    text += static_cast<char>('0' + value / 10 % 10);
    text += static_cast<char>('0' + value % 10);
}

/// "08:30:00"; hours past 99 take the digits that they need.
void appendClock(long long seconds, std::string& text) {
    const long long hours = seconds / 3600;
    if (hours > 99) {
        text += std::to_string(hours);
    } else {
        appendTwoDigits(hours, text);
    }
    text += ':';
    appendTwoDigits(seconds / 60 % 60, text);
    text += ':';
    appendTwoDigits(seconds % 60, text);
}

DatedNumber dateOf(double days) {
    const long long seconds = std::llround(days * static_cast<double>(daySeconds));
    const std::chrono::year_month_day date{origin + std::chrono::days{seconds / daySeconds}};
    const int year = static_cast<int>(date.year());
    std::string text;
    text.reserve(20);
    appendTwoDigits(year / 100, text);
    appendTwoDigits(year % 100, text);
    text += '-';
    appendTwoDigits(static_cast<unsigned>(date.month()), text);
    text += '-';
    appendTwoDigits(static_cast<unsigned>(date.day()), text);
    if (seconds % daySeconds != 0) {
        text += 'T';
        appendClock(seconds % daySeconds, text);
    }
    return {CellKind::date, days, std::move(text)};
}

DatedNumber clockOf(double part) {
    const long long seconds = std::llround(part * static_cast<double>(daySeconds));
    std::string text;
    appendClock(seconds < daySeconds ? seconds : daySeconds - 1, text);
    return {CellKind::clock, part, std::move(text)};
}

DatedNumber durationOf(double days) {
    const long long seconds = std::llround(std::abs(days) * static_cast<double>(daySeconds));
    std::string text;
    if (days < 0.0 && seconds > 0) {
        text += '-';
    }
    appendClock(seconds, text);
    return {CellKind::duration, days, std::move(text)};
}

char lower(char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}

/// Letters of a format code that stand for a part of a date or a time.
struct FormatLetters {
    bool day = false;
    bool month = false;  ///< or minutes
    bool hour = false;
    bool second = false;
    bool elapsed = false;
};

void note(char letter, FormatLetters& found) {
    switch (lower(letter)) {
        case 'd':
        case 'y':
            found.day = true;
            break;
        case 'm':
            found.month = true;
            break;
        case 'h':
            found.hour = true;
            break;
        case 's':
            found.second = true;
            break;
        default:
            break;
    }
}

bool isElapsed(std::string_view bracket) {
    const char first = bracket.empty() ? '\0' : lower(bracket.front());
    const bool unit = first == 'h' || first == 'm' || first == 's';
    return unit && bracket.find_first_not_of(bracket.substr(0, 1)) == std::string_view::npos;
}

FormatLetters lettersOf(std::string_view code) {
    FormatLetters found;
    for (std::size_t i = 0; i < code.size() && code[i] != ';'; ++i) {
        const char c = code[i];
        if (c == '"' || c == '[') {
            const std::size_t close = code.find(c == '"' ? '"' : ']', i + 1);
            const std::size_t end = close == std::string_view::npos ? code.size() : close;
            found.elapsed = found.elapsed || (c == '[' && isElapsed(code.substr(i + 1, end - i - 1)));
            i = end;
        } else if (c == '\\' || c == '_' || c == '*') {
            ++i;
        } else {
            note(c, found);
        }
    }
    return found;
}

/// Two digits at `at` of a value up to `largest`; -1 where there are none.
int twoDigits(std::string_view text, std::size_t at, int largest) {
    const auto isDigitAt = [&](std::size_t i) { return i < text.size() && text[i] >= '0' && text[i] <= '9'; };
    if (!isDigitAt(at) || !isDigitAt(at + 1)) {
        return -1;
    }
    const int value = (text[at] - '0') * 10 + (text[at + 1] - '0');
    return value <= largest ? value : -1;
}

/// Part of the day of "08:30" or "08:30:15", a fraction of a second or a Z behind it left out.
std::optional<double> clockPart(std::string_view text) {
    const int hour = twoDigits(text, 0, 23);
    const int minute = text.size() >= 5 && text[2] == ':' ? twoDigits(text, 3, 59) : -1;
    const bool hasSeconds = text.size() >= 8 && text[5] == ':';
    const int second = hasSeconds ? twoDigits(text, 6, 59) : 0;
    if (hour < 0 || minute < 0 || second < 0) {
        return std::nullopt;
    }
    const std::string_view rest = text.substr(hasSeconds ? 8 : 5);
    if (!rest.empty() && rest != "Z" && !(hasSeconds && rest.front() == '.')) {
        return std::nullopt;
    }
    return static_cast<double>((hour * 60 + minute) * 60 + second) / static_cast<double>(daySeconds);
}

}  // namespace

NumberForm formOfBuiltIn(unsigned id) {
    if ((id >= 14 && id <= 17) || id == 22) {
        return NumberForm::date;
    }
    if (id >= 18 && id <= 21) {
        return NumberForm::clock;
    }
    return id >= 45 && id <= 47 ? NumberForm::duration : NumberForm::plain;
}

NumberForm formOfCode(std::string_view code) {
    const FormatLetters found = lettersOf(code);
    if (found.elapsed) {
        return NumberForm::duration;
    }
    if (found.day || (found.month && !found.hour && !found.second)) {
        return NumberForm::date;
    }
    if (found.hour) {
        return NumberForm::clock;
    }
    return found.second ? NumberForm::duration : NumberForm::plain;
}

DatedNumber datedNumber(double serial, NumberForm form, bool date1904) {
    if (form == NumberForm::duration && std::abs(serial) <= longestDuration) {
        return durationOf(serial);
    }
    const double shifted = date1904 ? serial + days1904 : serial;
    const bool readable = form != NumberForm::plain && form != NumberForm::duration && serial >= 0.0;
    if (!readable || shifted >= endOfDates - 1.0 / daySeconds) {
        return {CellKind::number, serial, {}};
    }
    if (serial < 1.0 && (form == NumberForm::clock || !date1904)) {
        return clockOf(serial);
    }
    if (date1904 || serial >= 61.0) {
        return dateOf(shifted);
    }
    if (serial >= 60.0) {
        return {CellKind::error, serial, "1900-02-29 is no date"};
    }
    return dateOf(serial + 1.0);
}

std::optional<DatedNumber> datedText(std::string_view text) {
    if (const auto part = clockPart(text)) {
        return clockOf(*part);
    }
    const int century = twoDigits(text, 0, 99);
    const int years = twoDigits(text, 2, 99);
    const bool dashed = text.size() >= 10 && text[4] == '-' && text[7] == '-';
    const int month = dashed ? twoDigits(text, 5, 12) : -1;
    const int day = dashed ? twoDigits(text, 8, 31) : -1;
    if (century < 0 || years < 0 || month < 0 || day < 0) {
        return std::nullopt;
    }
    const std::chrono::year_month_day date{std::chrono::year{century * 100 + years},
                                           std::chrono::month{static_cast<unsigned>(month)},
                                           std::chrono::day{static_cast<unsigned>(day)}};
    if (!date.ok() || std::chrono::sys_days{date} < origin) {
        return std::nullopt;
    }
    const auto days = static_cast<double>((std::chrono::sys_days{date} - origin).count());
    if (text.size() == 10) {
        return dateOf(days);
    }
    const auto part = text[10] == 'T' ? clockPart(text.substr(11)) : std::nullopt;
    return part ? std::optional{dateOf(days + *part)} : std::nullopt;
}

}  // namespace aftercurve
