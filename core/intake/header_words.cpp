#include "core/intake/header_words.h"

#include <algorithm>
#include <vector>

#include "core/intake/fold_text.h"
#include "core/intake/header_lists.h"
#include "core/intake/time_text.h"
#include "core/study/units.h"

namespace aftercurve {

namespace {

constexpr std::size_t longestHeader = 120;

bool isInList(std::string_view list, std::string_view word) {
    if (word.empty()) {
        return false;
    }
    while (!list.empty()) {
        const std::size_t end = std::min(list.find('|'), list.size());
        if (list.substr(0, end) == word) {
            return true;
        }
        list.remove_prefix(std::min(end + 1, list.size()));
    }
    return false;
}

std::optional<ColumnRole> roleOf(std::string_view folded) {
    for (const auto& entry : words::roleWords) {
        if (isInList(entry.list, folded)) {
            return entry.role;
        }
    }
    return std::nullopt;
}

std::optional<std::string_view> analyteOf(std::string_view folded) {
    for (const auto& entry : words::analyteWords) {
        if (isInList(entry.list, folded)) {
            return entry.analyte;
        }
    }
    return std::nullopt;
}

/// A run of words that spells a unit, or nothing (count 0).
struct UnitRun {
    std::size_t first = 0;
    std::size_t count = 0;
    std::string_view unit;
};

UnitRun unitIn(const std::vector<std::string_view>& parts) {
    for (std::size_t count = 3; count > 0; --count) {
        for (std::size_t first = 0; first + count <= parts.size(); ++first) {
            std::string joined;
            for (std::size_t i = first; i < first + count; ++i) {
                joined += parts[i];
            }
            for (const auto& word : words::unitWords) {
                if (word.folded == joined) {
                    return {first, count, word.unit};
                }
            }
        }
    }
    return {};
}

/// Text and the unit that was cut out of it.
struct WithoutUnit {
    std::string text;
    std::string unit;
};

/// Cuts out a unit in brackets, or one at the end: "glucose 0 (mmol/L)" → "glucose 0", "mmol/L".
WithoutUnit withoutUnit(std::string_view header) {
    const std::size_t open = header.find_first_of("([{");
    const std::size_t close = open == std::string_view::npos ? open : header.find_first_of(")]}", open);
    if (close != std::string_view::npos) {
        const std::string inside = foldedWords(header.substr(open + 1, close - open - 1));
        const std::string unit = unitNamedIn(inside);
        const bool time = inside == "min" || inside == "h" || inside == "minutes" || inside == "minuten" ||
                          inside == "hours" || inside == "minuter" || inside == "minutter";
        if (!unit.empty() || time) {
            const std::string rest =
                std::string{header.substr(0, open)} + " " + std::string{header.substr(close + 1)};
            return {rest, time ? std::string{inside[0] == 'h' ? "h" : "min"} : unit};
        }
    }
    // A unit at the end: the shortest tail that folds to one, beginning at a divider.
    for (std::size_t at = header.size(); at-- > 1;) {
        const char before = header[at - 1];
        if (before != ' ' && before != '_' && before != ',' && before != ';' && before != '.' &&
            before != '-' && before != '\n') {
            continue;
        }
        const std::string tail = foldedWords(header.substr(at));
        const auto parts = wordsOf(tail);
        const UnitRun run = unitIn(parts);
        if (run.count != 0 && run.count == parts.size() && tail != "mm") {
            return {std::string{header.substr(0, at - 1)}, std::string{run.unit}};
        }
    }
    return {std::string{header}, {}};
}

bool isWordByte(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (static_cast<unsigned char>(c) & 0x80U) != 0;
}

/// The reading of "words time" or "time words"; timeMin absent where no side is a time.
struct TimeSplit {
    std::string words;
    std::optional<double> timeMin;
    bool hyphen = false;
};

TimeSplit splitTime(std::string_view text) {
    if (const auto whole = minutesFrom(text)) {
        return {{}, whole, false};
    }
    for (std::size_t at = 1; at < text.size(); ++at) {
        // Not inside a number or a word: "c15" may be split before 15, "15" not before 5.
        const char before = text[at - 1];
        const char here = text[at];
        const bool digitBefore = before >= '0' && before <= '9';
        const bool digitHere = here >= '0' && here <= '9';
        if ((isWordByte(before) && isWordByte(here)) || (digitBefore && digitHere) || before == '.' ||
            before == ',' || before == '-' || before == '+') {
            continue;
        }
        if (const auto time = minutesFrom(text.substr(at))) {
            return {std::string{text.substr(0, at)}, time, here == '-' && isWordByte(before)};
        }
    }
    for (std::size_t at = text.size(); at-- > 1;) {
        if (text[at] == ' ' || text[at] == '_') {
            if (const auto time = minutesFrom(text.substr(0, at))) {
                return {std::string{text.substr(at)}, time, false};
            }
        }
    }
    return {std::string{text}, std::nullopt, false};
}

}  // namespace

HeaderReading readHeader(std::string_view header) {
    HeaderReading reading;
    header = stripped(header);
    if (header.empty() || header.size() > longestHeader) {
        return reading;
    }
    const std::string whole = foldedWords(header);
    reading.statistic = isInList(words::statisticWords, whole);
    const auto cut = withoutUnit(header);
    reading.unit = cut.unit;
    for (const std::string& words : {whole, foldedWords(cut.text)}) {
        if (const auto role = roleOf(words); role && !reading.role) {
            reading.role = role;
            reading.word = words;
            if (*role == ColumnRole::time && reading.unit.empty()) {
                reading.unit = "min";
            }
        }
    }
    if (reading.role) {
        return reading;
    }
    // "insulin dilution", "glucose comment": a word of these decides before the analyte does.
    for (const std::string_view word : wordsOf(whole)) {
        const auto role = roleOf(word);
        if (role == ColumnRole::dilution || role == ColumnRole::remark) {
            reading.role = role;
            reading.word = std::string{word};
            return reading;
        }
    }
    const TimeSplit split = splitTime(stripped(cut.text));
    const std::string words = foldedWords(split.words);
    if (words.empty()) {
        reading.timeMin = split.timeMin;
        return reading;
    }
    if (whole == "g" || whole == "i") {
        return reading;  // one letter alone says too little; "g0", "i30" say enough
    }
    if (const auto analyte = analyteOf(words)) {
        reading.role = ColumnRole::analyte;
        reading.analyte = std::string{*analyte};
        reading.timeMin = split.timeMin;
        reading.hyphen = split.hyphen;
        reading.word = words;
    } else if (const auto role = roleOf(words); role == ColumnRole::time) {
        reading.timeMin = split.timeMin;
        reading.word = words;
        if (!split.timeMin) {
            reading.role = role;
        }
    } else if (const std::string named = analyteNamedIn(foldedWords(cut.text)); !named.empty()) {
        reading.role = ColumnRole::analyte;
        reading.analyte = named;
        reading.timeMin = split.timeMin;
        reading.hyphen = split.hyphen;
        reading.word = named;
    }
    return reading;
}

std::string analyteNamedIn(std::string_view text) {
    const std::string folded = foldedWords(text);
    const auto parts = wordsOf(folded);
    std::string found;
    for (std::size_t count = 2; count > 0; --count) {
        for (std::size_t first = 0; first + count <= parts.size(); ++first) {
            const std::string run = count == 1
                                        ? std::string{parts[first]}
                                        : std::string{parts[first]} + " " + std::string{parts[first + 1]};
            const auto analyte = run.size() < 2 ? std::nullopt : analyteOf(run);
            if (!analyte || analyte->empty() || *analyte == found) {
                continue;
            }
            if (!found.empty()) {
                return {};
            }
            found = std::string{*analyte};
        }
    }
    return found;
}

std::string unitNamedIn(std::string_view text) {
    const std::string folded = foldedWords(text);
    return std::string{unitIn(wordsOf(folded)).unit};
}

bool isStatisticWord(std::string_view text) {
    return isInList(words::statisticWords, foldedWords(text));
}

std::optional<FoodRole> foodRoleNamedIn(std::string_view text) {
    const std::string folded = foldedWords(text);
    const auto parts = wordsOf(folded);
    const auto says = [&](std::string_view list) {
        if (isInList(list, folded)) {
            return true;
        }
        for (std::size_t i = 0; i < parts.size(); ++i) {
            if (isInList(list, parts[i]) ||
                (i + 1 < parts.size() &&
                 isInList(list, std::string{parts[i]} + " " + std::string{parts[i + 1]}))) {
                return true;
            }
        }
        return false;
    };
    if (says(words::controlWords)) {
        return FoodRole::control;
    }
    return says(words::referenceWords) ? std::optional{FoodRole::reference} : std::nullopt;
}

bool isBelowLimitWord(std::string_view text) {
    return isInList(words::belowLimitWords, foldedWords(text));
}

}  // namespace aftercurve
