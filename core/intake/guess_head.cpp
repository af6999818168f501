#include "core/intake/guess_head.h"

#include <algorithm>
#include <set>

#include "core/files/number_cell.h"
#include "core/intake/fold_text.h"

namespace aftercurve {

namespace {

constexpr std::size_t headerWithin = 30;
constexpr int roleScore = 3;
constexpr int analyteScore = 1;
constexpr int timesScore = 2;
constexpr std::size_t fewestTimes = 3;

using Row = std::vector<std::string>;

std::size_t filledIn(const Row& row) {
    return static_cast<std::size_t>(std::count_if(
        row.begin(), row.end(), [](const std::string& cell) { return !stripped(cell).empty(); }));
}

bool isComment(const Row& row) {
    const auto first =
        std::find_if(row.begin(), row.end(), [](const std::string& cell) { return !stripped(cell).empty(); });
    return first != row.end() && stripped(*first).front() == '#';
}

int scoreOf(const Row& row) {
    std::set<ColumnRole> roles;
    std::set<std::string> analytes;
    std::size_t run = 0;
    std::size_t longestRun = 0;
    double last = 0.0;
    for (const std::string& cell : row) {
        const HeaderReading reading = readHeader(cleanHeader(cell));
        if (reading.role == ColumnRole::analyte) {
            analytes.insert(reading.analyte);
        } else if (reading.role) {
            roles.insert(*reading.role);
        }
        // A concentration such as 5.4 is no time by which a header is known.
        const bool whole =
            reading.timeMin && cell.find('.') == std::string::npos && cell.find(',') == std::string::npos;
        if (!whole) {
            run = 0;
            continue;
        }
        run = run > 0 && *reading.timeMin > last ? run + 1 : 1;
        last = *reading.timeMin;
        longestRun = std::max(longestRun, run);
    }
    return roleScore * static_cast<int>(roles.size()) + analyteScore * static_cast<int>(analytes.size()) +
           (longestRun >= fewestTimes ? timesScore : 0);
}

/// What two cells, one above the other, say together.
HeaderReading together(const std::string& upper, const std::string& lower) {
    HeaderReading below = readHeader(lower);
    if (upper.empty()) {
        return below;
    }
    const HeaderReading above = readHeader(upper);
    if (lower.empty() || (!below.role && !below.timeMin && below.unit.empty())) {
        return above.role || lower.empty() ? above : below;
    }
    HeaderReading both = below;
    if (!below.role && above.role == ColumnRole::analyte) {
        both.role = above.role;
        both.analyte = above.analyte;
        both.word = above.word;
    }
    if (both.role == ColumnRole::analyte) {
        if (!both.timeMin) {
            both.timeMin = above.timeMin;
        }
        if (both.unit.empty() || both.unit == "min") {
            both.unit = above.unit;
        }
        if (both.analyte.empty()) {
            both.analyte = above.analyte;
        }
    }
    return both;
}

/// True where `upper` heads two columns or more of `lower` together: an analyte over times, or a time over
/// analytes. A row of data below a single header does not pass: what stands below another word of the header
/// must be empty, the same, or a word itself.
bool headsColumns(const Row& upper, const Row& lower) {
    const TableHead head = headOf(upper, lower, true);
    std::size_t before = head.lower.size();
    bool heads = false;
    for (std::size_t c = 0; c < head.lower.size(); ++c) {
        const HeaderReading above = readHeader(head.upper[c]);
        const HeaderReading below = readHeader(head.lower[c]);
        const bool isAnalyte = above.role == ColumnRole::analyte;
        if (above.role && !isAnalyte && !head.lower[c].empty() && !below.role) {
            return false;
        }
        const bool analyteOverTime = isAnalyte && !above.timeMin && !below.role && below.timeMin;
        const bool timeOverAnalyte =
            !above.role && above.timeMin && below.role == ColumnRole::analyte && !below.timeMin;
        if (!analyteOverTime && !timeOverAnalyte) {
            continue;
        }
        heads = heads || (before + 1 == c && head.upper[before] == head.upper[c]);
        before = c;
    }
    return heads;
}

bool isUnitCell(const std::string& cell) {
    std::string inside{stripped(cell)};
    std::erase_if(inside, [](char c) { return c == '(' || c == ')' || c == '[' || c == ']'; });
    const std::string folded = foldedWords(inside);
    return folded == "min" || folded == "h" ||
           (!unitNamedIn(inside).empty() && readHeader(inside).word.empty());
}

bool isRowOfUnits(const Row& row) {
    bool any = false;
    for (const std::string& cell : row) {
        const std::string_view text = stripped(cell);
        if (text.empty()) {
            continue;
        }
        if (readNumber(text).kind == NumberKind::value) {
            return false;
        }
        any = any || isUnitCell(cell);
    }
    return any;
}

}  // namespace

Result<HeadSample> sampleHead(const InputTable& table, const TextDialect& dialect, std::size_t rows) {
    HeadSample sample;
    const auto done = table.visit(dialect,
                                  [&](std::size_t row, std::span<const RawCell> cells) {
                                      if (sample.rows.size() == rows) {
                                          sample.cut = true;
                                          return Visit::stop;
                                      }
                                      Row texts;
                                      for (const RawCell& cell : cells) {
                                          texts.emplace_back(cell.text);
                                      }
                                      if (filledIn(texts) > 0) {
                                          sample.rows.push_back(row);
                                          sample.cells.push_back(std::move(texts));
                                      }
                                      return Visit::goOn;
                                  },
                                  {});
    if (!done) {
        return done.problem();
    }
    return sample;
}

HeadGuess guessHead(const HeadSample& sample) {
    HeadGuess guess;
    std::size_t width = 0;
    for (const Row& row : sample.cells) {
        width = std::max(width, filledIn(row));
    }
    const std::size_t least = std::max<std::size_t>(2, (width + 1) / 2);
    std::size_t best = sample.cells.size();
    int bestScore = 0;
    for (std::size_t r = 0; r < std::min(headerWithin, sample.cells.size()); ++r) {
        if (isComment(sample.cells[r]) || filledIn(sample.cells[r]) < least) {
            continue;
        }
        if (const int score = scoreOf(sample.cells[r]); score > bestScore) {
            best = r;
            bestScore = score;
        }
    }
    if (best == sample.cells.size()) {
        guess.firstRow = sample.rows.empty() ? 1 : sample.rows.front();
        return guess;
    }
    // Of two header rows the lower one is the header; the score may have preferred the upper.
    if (best + 1 < sample.cells.size() && headsColumns(sample.cells[best], sample.cells[best + 1])) {
        ++best;
        guess.headerRows = 2;
    } else if (best > 0 && sample.rows[best - 1] + 1 == sample.rows[best] &&
               headsColumns(sample.cells[best - 1], sample.cells[best])) {
        guess.headerRows = 2;
    }
    guess.headerRow = sample.rows[best];
    guess.firstRow = guess.headerRow + 1;
    guess.head = headOf(best > 0 ? sample.cells[best - 1] : Row{}, sample.cells[best], guess.headerRows == 2);
    for (std::size_t c = 0; c < guess.head.headers.size(); ++c) {
        guess.columns.push_back(guess.headerRows == 2 ? together(guess.head.upper[c], guess.head.lower[c])
                                                      : readHeader(guess.head.lower[c]));
    }
    for (std::size_t r = 0; r + guess.headerRows <= best; ++r) {
        for (const std::string& cell : sample.cells[r]) {
            guess.titles.push_back(cell);
        }
    }
    if (best + 1 < sample.cells.size() && isRowOfUnits(sample.cells[best + 1])) {
        guess.unitsBelow = true;
        guess.firstRow = sample.rows[best + 1] + 1;
        const Row& units = sample.cells[best + 1];
        for (std::size_t c = 0; c < std::min(units.size(), guess.columns.size()); ++c) {
            HeaderReading& column = guess.columns[c];
            if (column.unit.empty() || column.role == ColumnRole::time ||
                column.role == ColumnRole::nominalTime) {
                const std::string unit = unitNamedIn(units[c]);
                const std::string folded = foldedWords(units[c]);
                column.unit = folded == "h" || folded == "min" ? folded : unit.empty() ? column.unit : unit;
            }
        }
    }
    return guess;
}

}  // namespace aftercurve
