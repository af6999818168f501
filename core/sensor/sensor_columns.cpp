#include "core/sensor/sensor_columns.h"

#include <algorithm>
#include <array>
#include <string_view>

#include "core/files/csv_cell.h"
#include "core/files/excerpt.h"
#include "core/files/privacy_columns.h"
#include "core/intake/fold_text.h"
#include "core/intake/header_words.h"

namespace aftercurve {

namespace {

constexpr std::size_t longestCode = 200;

constexpr std::array<std::string_view, 21> timeWords{
    "timestamp",     "time stamp", "datetime",    "date time",    "date and time", "time and date",
    "local time",    "recorded",   "recorded at", "reading time", "sensor time",   "zeitstempel",
    "datum uhrzeit", "date heure", "horodatage",  "fecha y hora", "tidsstempel",   "tidsstampel",
    "aikaleima",     "ajatempel",  "laika zimogs"};
constexpr std::array<std::string_view, 7> valueWords{"reading",       "readings",       "sensor glucose",
                                                     "glucose value", "sensor reading", "glucose reading",
                                                     "sensor value"};
constexpr std::array<std::string_view, 7> unitWordsOfHeader{"unit",  "units",  "einheit", "unite",
                                                            "enhet", "unidad", "yksikko"};

template <std::size_t n>
bool isOneOf(std::string_view folded, const std::array<std::string_view, n>& words) {
    return std::find(words.begin(), words.end(), folded) != words.end();
}

/// How well a header fits a role: 0 not at all, 2 best.
int fit(const std::string& name, SensorColumn role) {
    const std::string folded = foldedWords(name);
    if (folded.empty()) {
        return 0;
    }
    const HeaderReading reading = readHeader(name);
    const auto says = [&reading](ColumnRole wanted) { return reading.role == wanted ? 2 : 0; };
    switch (role) {
        case SensorColumn::subject:
            return says(ColumnRole::subject);
        case SensorColumn::time:
            if (isOneOf(folded, timeWords)) {
                return 2;
            }
            return reading.role == ColumnRole::time || reading.role == ColumnRole::clockTime ||
                           reading.role == ColumnRole::date || reading.role == ColumnRole::mealStart
                       ? 1
                       : 0;
        case SensorColumn::value:
            if (isOneOf(folded, valueWords)) {
                return 2;
            }
            if (reading.role != ColumnRole::analyte || reading.statistic) {
                return 0;
            }
            return reading.analyte == "glucose" ? 2 : reading.analyte.empty() ? 1 : 0;
        case SensorColumn::unit:
            return isOneOf(folded, unitWordsOfHeader) ? 2 : 0;
        case SensorColumn::food:
            return says(ColumnRole::food);
        case SensorColumn::visit:
            return says(ColumnRole::visit);
    }
    return 0;
}

const char* wordFor(SensorColumn role) {
    switch (role) {
        case SensorColumn::subject:
            return "subject";
        case SensorColumn::time:
            return "time stamp";
        case SensorColumn::value:
            return "glucose";
        case SensorColumn::unit:
            return "unit";
        case SensorColumn::food:
            return "food";
        case SensorColumn::visit:
            return "visit";
    }
    return "";
}

std::vector<std::string> namesIn(std::span<const RawCell> cells) {
    std::vector<std::string> names;
    for (const RawCell& cell : cells) {
        names.emplace_back(textIn(stripped(cell.text)));
    }
    return names;
}

std::string missingIn(std::span<const SensorColumnWish> wishes) {
    std::string list;
    for (const SensorColumnWish& wish : wishes) {
        if (wish.needed && !wish.found) {
            list += (list.empty() ? "" : ", ") +
                    (wish.name.empty() ? std::string{wordFor(wish.role)} : quote(wish.name));
        }
    }
    return list;
}

void reportColumns(const SensorHeader& header, std::span<const SensorColumnWish> wishes,
                   std::string_view file, ProblemList& problems) {
    for (std::size_t c = 0; c < header.names.size(); ++c) {
        const std::string& name = header.names[c];
        const bool used = std::any_of(wishes.begin(), wishes.end(),
                                      [c](const SensorColumnWish& wish) { return wish.found == c; });
        if (looksPersonal(name)) {
            problems.add(Weight::warning,
                         problemAt(file, header.row, name,
                                   "the column " + quote(name) + " looks as if it identified people; it is " +
                                       (used ? "used" : "not read"),
                                   used ? "make sure that it holds codes only"
                                        : "take it out of the file before you pass the file on"));
        } else if (!used && !name.empty()) {
            problems.add(Weight::note,
                         problemAt(file, header.row, name, "the column " + quote(name) + " is not read"));
        }
    }
}

}  // namespace

bool findSensorColumns(std::span<const std::string> names, std::span<SensorColumnWish> wishes) {
    std::vector<bool> taken(names.size(), false);
    const auto take = [&](SensorColumnWish& wish, std::size_t c) {
        wish.found = c;
        taken[c] = true;
    };
    for (SensorColumnWish& wish : wishes) {
        wish.found.reset();
        for (std::size_t c = 0; !wish.name.empty() && !wish.found && c < names.size(); ++c) {
            if (!taken[c] && (names[c] == wish.name || foldedWords(names[c]) == foldedWords(wish.name))) {
                take(wish, c);
            }
        }
    }
    for (int least = 2; least > 0; --least) {
        for (SensorColumnWish& wish : wishes) {
            for (std::size_t c = 0; wish.name.empty() && !wish.found && c < names.size(); ++c) {
                if (!taken[c] && fit(names[c], wish.role) >= least) {
                    take(wish, c);
                }
            }
        }
    }
    return std::all_of(wishes.begin(), wishes.end(), [](const SensorColumnWish& wish) {
        return wish.found || (!wish.needed && wish.name.empty());
    });
}

bool visitSensorRows(const Source& source, std::size_t mostRows, std::optional<char> decimalMark,
                     std::span<SensorColumnWish> wishes, ProblemList& problems,
                     const std::function<void(const SensorHeader&, char decimalMark)>& begin,
                     const std::function<void(std::size_t row, std::span<const RawCell>)>& row,
                     const std::function<bool(double)>& goOn) {
    if (source.workbook) {
        problems.add(Weight::fatal,
                     problemAt(source.file, 0, {}, "the file is a workbook; sensor files are read as text",
                               "save the sheet as CSV (UTF-8)"));
        return true;
    }
    IntakeLimits limits;
    limits.columns = 256;
    limits.rows = mostRows + sensorHeaderRows;
    TextDialect dialect = guessDialect(source, limits);
    if (decimalMark) {
        dialect.decimalMark = *decimalMark;
    }
    std::optional<SensorHeader> header;
    std::string missing;
    std::size_t looked = 0;
    std::size_t rows = 0;
    bool stopped = false;
    const auto visitor = [&](std::size_t at, std::span<const RawCell> cells) {
        if (header) {
            if (++rows > mostRows) {
                problems.add(Weight::fatal, problemAt(source.file, at, {},
                                                      "the file has more than the " +
                                                          std::to_string(mostRows) + " rows that are read",
                                                      "split the file"));
                return Visit::stop;
            }
            row(at, cells);
            return Visit::goOn;
        }
        SensorHeader tried{at, namesIn(cells)};
        if (findSensorColumns(tried.names, wishes)) {
            if (looked > 0) {
                problems.add(Weight::note,
                             problemAt(source.file, at, {},
                                       std::to_string(looked) +
                                           (looked == 1 ? " row above the header is not read"
                                                        : " rows above the header are not read")));
            }
            reportColumns(tried, wishes, source.file, problems);
            begin(tried, dialect.decimalMark);
            header = std::move(tried);
            return Visit::goOn;
        }
        if (looked == 0) {
            missing = missingIn(wishes);
        }
        return ++looked < sensorHeaderRows ? Visit::goOn : Visit::stop;
    };
    const auto progress = [&](double share) {
        stopped = stopped || (goOn && !goOn(share));
        return !stopped;
    };
    const Result<Done> done = visitRows(source, 0, dialect, limits, visitor, progress);
    if (!done) {
        problems.add(Weight::fatal, done.problem());
    } else if (!header && !stopped) {
        problems.add(
            Weight::fatal,
            problemAt(source.file, 0, {},
                      "no header row with the columns that are needed; not found: " +
                          (missing.empty() ? std::string{"a row with text"} : missing),
                      "name the columns subject, timestamp and glucose (of meals: subject, timestamp "
                      "and food), or state which they are"));
    }
    return !stopped;
}

std::string_view sensorCellText(std::span<const RawCell> cells, std::optional<std::size_t> column) {
    return column && *column < cells.size() ? textIn(stripped(cells[*column].text)) : std::string_view{};
}

std::string faultOfSensorCode(std::string_view text) {
    if (text.empty()) {
        return "is empty";
    }
    if (text.size() > longestCode) {
        return quote(text.substr(0, 60)) + " is longer than " + std::to_string(longestCode) + " bytes";
    }
    return hasControlCharacters(text) ? quote(text) + " holds control characters" : std::string{};
}

}  // namespace aftercurve
