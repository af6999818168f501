// Property: a random study, rendered in any layout, decimal mark, unit and way to give times, as cells or as
// the bytes of a text with any delimiter, quotes, line ends and encoding, is guessed and taken in equal to
// itself; saved and opened it is what was taken in. The truth is the generator's, not this program's. Seeds 1
// to 60; values invented.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdio>
#include <map>
#include <random>
#include <string>
#include <tuple>
#include <vector>

#include "core/edit/save_study.h"
#include "core/intake/guess.h"
#include "core/intake/mapping_json.h"
#include "core/intake/take_in.h"
#include "tests/core/files/problem_matchers.h"
#include "tests/support/close.h"
#include "tests/support/encoded.h"
#include "tests/support/memory_table.h"
#include "tests/support/same_study.h"
#include "tests/support/temp_folder.h"

namespace aftercurve {
namespace {

using test::MemoryRows;
using test::memoryTable;
using test::textCell;

enum class Shape {
    longRows,
    wideByTime,
    twoHeaderRows,
    wideBySubject,
    twoFiles,
    sheetPerFood,
    clock,
    clockOnly
};

/// subject, food, visit, time
using Key = std::tuple<std::string, std::string, int, double>;
/// glucose in mmol/L and insulin in pmol/L; missing where not measured
using Values = std::array<std::optional<double>, 2>;
using Truth = std::map<Key, Values>;

struct Trial {
    std::vector<std::string> subjects;
    std::vector<std::string> foods;
    std::vector<int> visits;
    std::vector<double> times;
    std::map<std::tuple<std::string, std::string, int>, int> mealStart;  ///< minutes after midnight
    Truth draws;
};

class Generator {
  public:
    explicit Generator(unsigned seed) : random_(seed) {}
    std::size_t below(std::size_t n) { return random_() % n; }

    Trial trial(Shape shape) {
        Trial trial;
        for (std::size_t i = 0; i < 2 + below(4); ++i) {
            trial.subjects.push_back((below(2) == 0 ? "0" : "P") + std::to_string(i + 1));
        }
        trial.foods = {"reference", "barley-bun", "kelp"};
        trial.visits = {1, 2};
        trial.times = {-5, 0, 15, 30, 45, 60, 120};
        trial.times.resize(4 + below(4));
        for (const auto& subject : trial.subjects) {
            for (const auto& food : trial.foods) {
                for (const int visit : trial.visits) {
                    trial.mealStart[{subject, food, visit}] = static_cast<int>(below(1440));
                    for (const double time : trial.times) {
                        trial.draws[{subject, food, visit, time}] = values(shape);
                    }
                }
            }
        }
        return trial;
    }

  private:
    Values values(Shape shape) {
        Values values;
        if (below(8) != 0) {
            values[0] = static_cast<double>(300 + below(900)) / 100.0;
        }
        if (below(8) != 0 && shape != Shape::wideBySubject) {
            values[1] = static_cast<double>(200 + below(8000)) / 10.0;
        }
        return values;
    }

    std::mt19937 random_;
};

/// How values are written.
struct Writing {
    char mark = '.';
    bool otherUnits = false;
    bool asText = false;  ///< bytes of a delimited text, not cells
    char delimiter = ',';
    const char* lineEnd = "\n";
    unsigned quoteOneIn = 2;  ///< cells in quotes though they need none; 0: none
    bool utf16 = false;

    std::string number(double value) const {
        std::array<char, 40> text{};
        std::snprintf(text.data(), text.size(), "%.15g", value);
        std::string out = text.data();
        std::replace(out.begin(), out.end(), '.', mark);
        return out;
    }
    std::string value(const Values& values, std::size_t analyte) const {
        if (!values[analyte]) {
            return "NA";
        }
        // 1 mmol/L = 18.016 mg/dL; 1 µIU/mL = 6.00 pmol/L (docs/formats.md, Units)
        const double factor = !otherUnits ? 1.0 : analyte == 0 ? 18.016 : 1.0 / 6.0;
        return number(*values[analyte] * factor);
    }
    std::string unit(std::size_t analyte) const {
        return analyte == 0 ? (otherUnits ? "mg/dL" : "mmol/L") : (otherUnits ? "mU/L" : "pmol/L");
    }
    InputTable table(const std::string& file, const std::vector<std::vector<std::string>>& rows,
                     std::size_t source = 1, const std::string& sheet = {}) const {
        if (asText && sheet.empty()) {
            return textTable(file, rows, source);
        }
        MemoryRows cells;
        for (const auto& row : rows) {
            auto& to = cells.emplace_back();
            for (const std::string& text : row) {
                to.push_back(textCell(text));
            }
        }
        InputTable table = memoryTable(file, std::move(cells), sheet, source);
        table.dialect.decimalMark = mark;
        return table;
    }

  private:
    std::string bytesOf(const std::vector<std::vector<std::string>>& rows) const {
        std::string text;
        unsigned cells = 0;
        for (const auto& row : rows) {
            for (std::size_t c = 0; c < row.size(); ++c) {
                const bool quoted = row[c].find(delimiter) != std::string::npos ||
                                    (quoteOneIn > 0 && ++cells % quoteOneIn == 0);
                text += (c == 0 ? std::string{} : std::string{delimiter}) +
                        (quoted ? '"' + row[c] + '"' : row[c]);
            }
            text += lineEnd;
        }
        return text;
    }
    InputTable textTable(const std::string& file, const std::vector<std::vector<std::string>>& rows,
                         std::size_t source) const {
        const std::string text = bytesOf(rows);
        const auto opened = sourceFromBytes(file, utf16 ? test::encoded(text, "utf-16le") : text);
        EXPECT_TRUE(opened);
        InputTable table = inputTables(std::span{&opened.value(), 1}).at(0);
        table.source = source;
        EXPECT_EQ(table.dialect.delimiter, delimiter);
        EXPECT_EQ(table.dialect.decimalMark, mark);
        return table;
    }
};

Writing writingOf(unsigned seed) {
    static constexpr std::array delimiters{',', ';', '\t', '|'};
    static constexpr std::array lineEnds{"\n", "\r\n", "\r"};
    Writing writing;
    writing.mark = seed % 2 == 0 ? '.' : ',';
    writing.otherUnits = seed % 3 == 0;
    writing.asText = seed % 4 != 0;
    writing.delimiter = delimiters[seed / 2 % 4];
    writing.lineEnd = lineEnds[seed / 3 % 3];
    writing.quoteOneIn = seed % 5;
    writing.utf16 = seed % 7 == 0;
    return writing;
}

std::string clockOf(int minutes) {
    std::array<char, 16> text{};
    const int inDay = (minutes % 1440 + 1440) % 1440;
    std::snprintf(text.data(), text.size(), "%02d:%02d", inDay / 60, inDay % 60);
    return text.data();
}

using Rows = std::vector<std::vector<std::string>>;

Rows longRows(const Trial& trial, const Writing& w, const std::vector<std::size_t>& analytes, Shape shape,
              const std::string& onlyFood = {}) {
    Rows rows{{"Subject"}};
    if (onlyFood.empty()) {
        rows[0].emplace_back("Food");
    }
    rows[0].emplace_back("Visit");
    if (shape == Shape::clockOnly) {
        rows[0].emplace_back("Meal start");
    } else {
        rows[0].emplace_back(shape == Shape::clock ? "Nominal time" : "Time (min)");
    }
    if (shape == Shape::clock || shape == Shape::clockOnly) {
        rows[0].emplace_back("Clock time");
    }
    for (const std::size_t a : analytes) {
        rows[0].push_back((a == 0 ? "Glucose (" : "Insulin (") + w.unit(a) + ")");
    }
    for (const auto& [key, values] : trial.draws) {
        const auto& [subject, food, visit, time] = key;
        if (!onlyFood.empty() && food != onlyFood) {
            continue;
        }
        auto& row = rows.emplace_back();
        row.push_back(subject);
        if (onlyFood.empty()) {
            row.push_back(food);
        }
        row.push_back(std::to_string(visit));
        const int start = trial.mealStart.at({subject, food, visit});
        row.push_back(shape == Shape::clockOnly ? clockOf(start) : w.number(time));
        if (shape == Shape::clock || shape == Shape::clockOnly) {
            row.push_back(clockOf(start + static_cast<int>(time)));
        }
        for (const std::size_t a : analytes) {
            row.push_back(w.value(values, a));
        }
    }
    return rows;
}

Rows wideByTime(const Trial& trial, const Writing& w, bool twoRows) {
    Rows rows;
    std::vector<std::string> upper{"", "", ""};
    std::vector<std::string> lower{"Subject", "Food", "Visit"};
    for (std::size_t a = 0; a < 2; ++a) {
        for (const double time : trial.times) {
            const std::string name = a == 0 ? "Glucose" : "Insulin";
            upper.push_back(name + " (" + w.unit(a) + ")");
            lower.push_back(twoRows ? w.number(time)
                                    : name + " " + w.number(time) + " min (" + w.unit(a) + ")");
        }
    }
    if (twoRows) {
        rows.push_back(upper);
    }
    rows.push_back(lower);
    for (const auto& [visit, start] : trial.mealStart) {
        const auto& [subject, food, number] = visit;
        std::vector<std::string> row{subject, food, std::to_string(number)};
        for (std::size_t a = 0; a < 2; ++a) {
            for (const double time : trial.times) {
                row.push_back(w.value(trial.draws.at({subject, food, number, time}), a));
            }
        }
        rows.push_back(row);
    }
    return rows;
}

Rows wideBySubject(const Trial& trial, const Writing& w) {
    Rows rows{{"Plasma glucose in " + w.unit(0)}, {"Food", "Visit", "Time"}};
    rows[1].insert(rows[1].end(), trial.subjects.begin(), trial.subjects.end());
    for (const std::string& food : trial.foods) {
        for (const int visit : trial.visits) {
            for (const double time : trial.times) {
                auto& row =
                    rows.emplace_back(std::vector<std::string>{food, std::to_string(visit), w.number(time)});
                for (const std::string& subject : trial.subjects) {
                    row.push_back(w.value(trial.draws.at({subject, food, visit, time}), 0));
                }
            }
        }
    }
    return rows;
}

std::vector<InputTable> rendered(const Trial& trial, const Writing& w, Shape shape) {
    switch (shape) {
        case Shape::longRows:
        case Shape::clock:
        case Shape::clockOnly:
            return {w.table("lab.csv", longRows(trial, w, {0, 1}, shape))};
        case Shape::wideByTime:
            return {w.table("lab.csv", wideByTime(trial, w, false))};
        case Shape::twoHeaderRows:
            return {w.table("lab.csv", wideByTime(trial, w, true))};
        case Shape::wideBySubject:
            return {w.table("lab.csv", wideBySubject(trial, w))};
        case Shape::twoFiles:
            return {w.table("a.csv", longRows(trial, w, {0}, shape)),
                    w.table("b.csv", longRows(trial, w, {1}, shape), 2)};
        case Shape::sheetPerFood: {
            std::vector<InputTable> sheets;
            for (const std::string& food : trial.foods) {
                sheets.push_back(w.table("lab.xlsx", longRows(trial, w, {0, 1}, shape, food), 1, food));
            }
            return sheets;
        }
    }
    return {};
}

/// Every draw of the study, by key; a draw that stands twice fails.
std::map<Key, Values> drawsOf(const Study& study) {
    std::map<Key, Values> draws;
    for (std::size_t d = 0; d < study.draws.size(); ++d) {
        const Draw& draw = study.draws[d];
        Values values;
        for (std::size_t a = 0; a < study.analytes.size(); ++a) {
            values[study.analytes[a].id == "glucose" ? 0 : 1] = study.concentrations[a][d];
        }
        const bool isNew = draws
                               .emplace(Key{study.subjects[draw.subject].id, study.foods[draw.food].id,
                                            draw.visit, draw.timeMin},
                                        values)
                               .second;
        EXPECT_TRUE(isNew);
    }
    return draws;
}

class Layouts : public testing::TestWithParam<Shape> {};

TEST_P(Layouts, AnyWritingGivesTheSameStudy) {
    for (unsigned seed = 1; seed <= 60; ++seed) {
        Generator generator{seed};
        const Trial trial = generator.trial(GetParam());
        const Writing writing = writingOf(seed);
        const auto tables = rendered(trial, writing, GetParam());
        const GuessedMapping guessed = guessMapping(tables);
        std::string asked;
        for (const Question& question : guessed.questions) {
            asked += sentenceFor(question) + "\n";
        }
        ASSERT_EQ(asked, "") << "seed " << seed;
        // Through the mapping file, as the next files of the laboratory would go.
        const MappingReading again = readMapping(mappingText(guessed.mapping), "mapping.json");
        ASSERT_TRUE(again.mapping) << linesOf(again.problems);
        ASSERT_TRUE(*again.mapping == guessed.mapping);
        const TakenIn taken = takeIn(tables, *again.mapping);
        ASSERT_TRUE(taken.study) << "seed " << seed << "\n" << linesOf(taken.problems);
        const auto draws = drawsOf(*taken.study);
        ASSERT_EQ(draws.size(), trial.draws.size()) << "seed " << seed;
        // Values went through a unit in 15 digits.
        const double relative = writing.otherUnits ? 1e-13 : 0.0;
        for (const auto& [key, values] : trial.draws) {
            const auto found = draws.find(key);
            ASSERT_NE(found, draws.end())
                << std::get<0>(key) << " " << std::get<1>(key) << " " << std::get<3>(key);
            for (std::size_t a = 0; a < 2; ++a) {
                // Scaled back to the unit of the truth.
                auto value = found->second[a];
                if (value && writing.otherUnits) {
                    value = a == 0 ? *value / 18.016 : *value * 6.0;
                }
                ASSERT_TRUE(test::isClose(value, values[a], {.absolute = 0.0, .relative = relative}))
                    << "seed " << seed;
            }
        }
        EXPECT_TRUE(std::is_sorted(taken.study->draws.begin(), taken.study->draws.end(),
                                   [](const Draw& a, const Draw& b) {
                                       return std::tie(a.subject, a.visit, a.food, a.timeMin) <
                                              std::tie(b.subject, b.visit, b.food, b.timeMin);
                                   }));
        EXPECT_EQ(taken.study->foods.size(), 3u);
        if (seed % 12 == 1) {  // a save waits for the disk
            const test::TempFolder folder;
            ASSERT_TRUE(writeNewStudy(folder.path() / "study", *taken.study)) << "seed " << seed;
            const StudyReading opened = readStudyFolder(folder.path() / "study");
            ASSERT_TRUE(opened.study) << linesOf(opened.problems);
            ASSERT_EQ(test::differences(*opened.study, *taken.study), "") << "seed " << seed;
        }
    }
}

INSTANTIATE_TEST_SUITE_P(All, Layouts,
                         testing::Values(Shape::longRows, Shape::wideByTime, Shape::twoHeaderRows,
                                         Shape::wideBySubject, Shape::twoFiles, Shape::sheetPerFood,
                                         Shape::clock, Shape::clockOnly));

}  // namespace
}  // namespace aftercurve
