#include "core/intake/time_text.h"

#include <fast_float/fast_float.h>

#include <array>
#include <cmath>
#include <cstdio>

#include "core/intake/fold_text.h"

namespace aftercurve {

namespace {

using namespace std::string_view_literals;

constexpr std::size_t longestText = 40;
constexpr double largestMinutes = 1e6;
constexpr double minutesPerDay = 1440.0;

constexpr std::array minuteWords{"min"sv,     "min."sv,    "mins"sv,     "minute"sv,  "minutes"sv,
                                 "minuten"sv, "minuter"sv, "minutter"sv, "minutos"sv, "minuutti"sv,
                                 "minut"sv,   "minutit"sv, "m"sv,        "'"sv};
constexpr std::array hourWords{"h"sv,     "h."sv,    "hr"sv,     "hrs"sv,     "hour"sv,   "hours"sv,
                               "std"sv,   "std."sv,  "stunde"sv, "stunden"sv, "heure"sv,  "heures"sv,
                               "hora"sv,  "horas"sv, "tim"sv,    "timme"sv,   "timmar"sv, "time"sv,
                               "timer"sv, "tund"sv,  "tundi"sv};

template <class Words>
bool isOneOf(const Words& words, std::string_view word) {
    for (const std::string_view one : words) {
        if (one == word) {
            return true;
        }
    }
    return false;
}

bool isDigit(char c) {
    return c >= '0' && c <= '9';
}

/// Lower case; the several minus signs, primes and no-break spaces as their plain relatives.
std::string plain(std::string_view text) {
    struct Change {
        std::string_view from;
        char to;
    };
    constexpr std::array<Change, 6> changes{{{"\xe2\x88\x92", '-'},
                                             {"\xe2\x80\x93", '-'},
                                             {"\xe2\x80\xb2", '\''},
                                             {"\xe2\x80\x99", '\''},
                                             {"\xc2\xb4", '\''},
                                             {"\xc2\xa0", ' '}}};
    std::string out;
    while (!text.empty()) {
        bool changed = false;
        for (const Change& change : changes) {
            if (text.starts_with(change.from)) {
                out += change.to;
                text.remove_prefix(change.from.size());
                changed = true;
                break;
            }
        }
        if (!changed) {
            const char c = text.front();
            out += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c == '\t' ? ' ' : c;
            text.remove_prefix(1);
        }
    }
    return out;
}

/// Takes what it can from the front of a text.
struct Cursor {
    std::string_view rest;

    void skip(std::string_view characters) {
        while (!rest.empty() && characters.find(rest.front()) != std::string_view::npos) {
            rest.remove_prefix(1);
        }
    }
    bool take(char c) {
        if (rest.empty() || rest.front() != c) {
            return false;
        }
        rest.remove_prefix(1);
        return true;
    }
    /// Digits only; nothing where there are none or more than nine.
    std::optional<int> whole() {
        std::size_t n = 0;
        int value = 0;
        for (; n < rest.size() && isDigit(rest[n]); ++n) {
            if (n == 9) {
                return std::nullopt;
            }
            value = value * 10 + (rest[n] - '0');
        }
        rest.remove_prefix(n);
        return n == 0 ? std::nullopt : std::optional{value};
    }
    /// Digits with a point or comma; a comma before three digits could divide thousands and is refused.
    std::optional<double> decimal() {
        std::size_t n = 0;
        std::string digits;
        bool mark = false;
        for (; n < rest.size(); ++n) {
            const char c = rest[n];
            const bool isMark =
                (c == '.' || c == ',') && !mark && n > 0 && n + 1 < rest.size() && isDigit(rest[n + 1]);
            if (!isDigit(c) && !isMark) {
                break;
            }
            if (c == ',' && n + 4 <= rest.size() && isDigit(rest[n + 2]) && isDigit(rest[n + 3])) {
                return std::nullopt;
            }
            mark = mark || isMark;
            digits += isMark ? '.' : c;
        }
        double value = 0.0;
        if (digits.empty() ||
            fast_float::from_chars(digits.data(), digits.data() + digits.size(), value).ec != std::errc{}) {
            return std::nullopt;
        }
        rest.remove_prefix(n);
        return value;
    }
};

/// "15 min", "1h", "1 h 30 min", "1:30 h" without sign.
std::optional<double> amountFrom(Cursor c, double minutesPerUnit) {
    const Cursor start = c;
    if (const auto hours = c.whole(); hours && c.take(':')) {
        const std::string_view before = c.rest;
        const auto minutes = c.whole();
        if (!minutes || *minutes > 59 || before.size() - c.rest.size() != 2) {
            return std::nullopt;
        }
        c.skip(" ");
        return isOneOf(hourWords, c.rest) ? std::optional{*hours * 60.0 + *minutes} : std::nullopt;
    }
    c = start;
    const auto value = c.decimal();
    if (!value) {
        return std::nullopt;
    }
    c.skip(" _");
    if (c.rest.empty()) {
        return *value * minutesPerUnit;
    }
    if (isOneOf(minuteWords, c.rest)) {
        return *value;
    }
    std::size_t letters = 0;
    while (letters < c.rest.size() && !isDigit(c.rest[letters]) && c.rest[letters] != ' ') {
        ++letters;
    }
    if (!isOneOf(hourWords, c.rest.substr(0, letters))) {
        return std::nullopt;
    }
    c.rest.remove_prefix(letters);
    c.skip(" ");
    if (c.rest.empty()) {
        return *value * 60.0;
    }
    const auto minutes = c.whole();
    c.skip(" ");
    if (!minutes || *minutes > 59 || !(c.rest.empty() || isOneOf(minuteWords, c.rest))) {
        return std::nullopt;
    }
    return *value * 60.0 + *minutes;
}

struct DateNumbers {
    std::array<int, 3> part{};
    std::array<std::size_t, 3> digits{};
};

std::optional<DateNumbers> numbersOf(std::string_view text) {
    text = stripped(text);
    text = text.substr(0, text.find_first_of("T "));
    if (text.empty() || text.size() > 10) {
        return std::nullopt;
    }
    DateNumbers numbers;
    Cursor c{text};
    char separator = 0;
    for (std::size_t i = 0; i < 3; ++i) {
        const std::size_t before = c.rest.size();
        const auto value = c.whole();
        if (!value) {
            return std::nullopt;
        }
        numbers.part[i] = *value;
        numbers.digits[i] = before - c.rest.size();
        if (i == 2) {
            break;
        }
        if (c.rest.empty() || "-./"sv.find(c.rest.front()) == std::string_view::npos ||
            (i == 1 && c.rest.front() != separator)) {
            return std::nullopt;
        }
        separator = c.rest.front();
        c.rest.remove_prefix(1);
    }
    return c.rest.empty() ? std::optional{numbers} : std::nullopt;
}

bool isDate(int year, int month, int day) {
    constexpr std::array days{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    if (year < 1900 || year > 2999 || month < 1 || month > 12 || day < 1) {
        return false;
    }
    const bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    return day <= days[static_cast<std::size_t>(month - 1)] + (month == 2 && leap ? 1 : 0);
}

/// The year of a date whose year stands last; 0 where it has neither two nor four digits.
int lastYear(const DateNumbers& n) {
    const bool shortParts = n.digits[0] <= 2 && n.digits[1] <= 2;
    if (!shortParts || (n.digits[2] != 2 && n.digits[2] != 4)) {
        return 0;
    }
    return n.digits[2] == 2 ? 2000 + n.part[2] : n.part[2];
}

std::string isoText(int year, int month, int day) {
    std::array<char, 16> text{};
    std::snprintf(text.data(), text.size(), "%04d-%02d-%02d", year, month, day);
    return text.data();
}

}  // namespace

std::optional<double> minutesFrom(std::string_view text, double minutesPerUnit) {
    text = stripped(text);
    if (text.empty() || text.size() > longestText) {
        return std::nullopt;
    }
    const std::string words = plain(text);
    Cursor c{words};
    for (const std::string_view prefix : {"time"sv, "min"sv, "t"sv}) {
        if (c.rest.starts_with(prefix)) {
            c.rest.remove_prefix(prefix.size());
            c.skip(" =_.:");
            break;
        }
    }
    const bool negative = c.take('-');
    if (!negative) {
        c.take('+');
    }
    c.skip(" ");
    const auto amount = amountFrom(c, minutesPerUnit);
    if (!amount || !(*amount <= largestMinutes)) {
        return std::nullopt;
    }
    return negative && *amount != 0.0 ? -*amount : *amount;
}

std::optional<double> clockFrom(std::string_view text) {
    text = stripped(text);
    if (text.empty() || text.size() > longestText) {
        return std::nullopt;
    }
    const std::string words = plain(text);
    Cursor c{words};
    auto hours = c.whole();
    if (!hours || !(c.take(':') || c.take('h') || c.take('.'))) {
        return std::nullopt;
    }
    const auto twoDigits = [&c] {
        const std::size_t before = c.rest.size();
        const auto value = c.whole();
        return value && before - c.rest.size() == 2 && *value < 60 ? value : std::nullopt;
    };
    const auto minutes = twoDigits();
    std::optional<int> seconds = 0;
    if (minutes && c.take(':')) {
        seconds = twoDigits();
    }
    c.skip(" ");
    if (!minutes || !seconds) {
        return std::nullopt;
    }
    const bool afternoon = c.rest == "pm" || c.rest == "p.m.";
    const bool morning = c.rest == "am" || c.rest == "a.m.";
    if (afternoon || morning) {
        if (*hours < 1 || *hours > 12) {
            return std::nullopt;
        }
        hours = *hours % 12 + (afternoon ? 12 : 0);
    } else if (!c.rest.empty() && c.rest != "uhr" && c.rest != "h") {
        return std::nullopt;
    }
    if (*hours > 23) {
        return std::nullopt;
    }
    return *hours * 60.0 + *minutes + *seconds / 60.0;
}

std::string clockText(double minutes) {
    const auto seconds =
        static_cast<long>(std::llround(minutes * 60.0)) % static_cast<long>(minutesPerDay * 60.0);
    std::array<char, 32> text{};
    if (seconds % 60 == 0) {
        std::snprintf(text.data(), text.size(), "%02ld:%02ld", seconds / 3600, seconds / 60 % 60);
    } else {
        std::snprintf(text.data(), text.size(), "%02ld:%02ld:%02ld", seconds / 3600, seconds / 60 % 60,
                      seconds % 60);
    }
    return text.data();
}

DateForm dateFormOf(std::string_view text) {
    const auto n = numbersOf(text);
    if (!n) {
        return DateForm::none;
    }
    if (n->digits[0] == 4) {
        return isDate(n->part[0], n->part[1], n->part[2]) ? DateForm::ordered : DateForm::none;
    }
    const int year = lastYear(*n);
    const bool dayFirst = isDate(year, n->part[1], n->part[0]);
    const bool monthFirst = isDate(year, n->part[0], n->part[1]);
    if (dayFirst && monthFirst) {
        return n->part[0] == n->part[1] ? DateForm::ordered : DateForm::either;
    }
    return dayFirst ? DateForm::dayFirst : monthFirst ? DateForm::monthFirst : DateForm::none;
}

std::optional<std::string> dateFrom(std::string_view text, std::optional<DateOrder> order) {
    const auto n = numbersOf(text);
    if (!n) {
        return std::nullopt;
    }
    if (n->digits[0] == 4) {
        return isDate(n->part[0], n->part[1], n->part[2])
                   ? std::optional{isoText(n->part[0], n->part[1], n->part[2])}
                   : std::nullopt;
    }
    const bool same = n->part[0] == n->part[1];
    if (!order && !same) {
        return std::nullopt;
    }
    const bool dayFirst = same || *order == DateOrder::dayMonth;
    const int day = n->part[dayFirst ? 0 : 1];
    const int month = n->part[dayFirst ? 1 : 0];
    const int year = lastYear(*n);
    return isDate(year, month, day) ? std::optional{isoText(year, month, day)} : std::nullopt;
}

}  // namespace aftercurve
