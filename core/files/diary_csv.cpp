#include "core/files/diary_csv.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <set>
#include <string>
#include <tuple>
#include <utility>
#include <vector>

#include "core/base/number_text.h"
#include "core/files/cell_rules.h"
#include "core/files/csv_cell.h"
#include "core/files/csv_rows.h"
#include "core/files/diary_json.h"
#include "core/files/excerpt.h"
#include "core/files/id_index.h"
#include "core/files/number_cell.h"
#include "core/files/subjects_csv.h"
#include "core/files/text_check.h"

namespace aftercurve {

namespace {

struct DiaryColumns {
    std::optional<std::size_t> subject;
    std::optional<std::size_t> food;
    std::optional<std::size_t> period;
    std::optional<std::size_t> day;
    std::optional<std::size_t> doseG;
    std::optional<std::size_t> stoolForm;
    std::optional<std::size_t> stools;
    std::vector<std::optional<std::size_t>> items;
};

class DiaryReading {
  public:
    DiaryReading(std::string_view file, const ReadLimits& limits, Study& study, ProblemList& problems)
        : file_(file), limits_(limits), study_(study), problems_(problems) {
        for (std::size_t i = 0; i < study.subjects.size(); ++i) {
            subjects_.add(study.subjects[i].id, static_cast<std::uint32_t>(i));
        }
    }

    void read(std::string_view text) {
        readCsvRows(
            text, file_, limits_, problems_, [this](const CsvHeader& header) { return findColumns(header); },
            [this] { return study_.diary.days.size(); },
            [this](const DelimitedScanner& row) { readRow(row); });
        if (std::optional<Problem> fault = faultOfSize(study_.diary)) {
            fault->file = file_;
            problems_.add(Weight::fatal, std::move(*fault));
        }
    }

  private:
    bool findColumns(const CsvHeader& header) {
        columns_.items.resize(study_.diary.items.size());
        std::vector<NamedColumn> named{
            {"subject", &columns_.subject, true}, {"food", &columns_.food, true},
            {"period", &columns_.period},         {"day", &columns_.day, true},
            {"dose_g", &columns_.doseG},          {"stool_form", &columns_.stoolForm},
            {"stools", &columns_.stools}};
        for (std::size_t i = 0; i < columns_.items.size(); ++i) {
            named.push_back({study_.diary.items[i].id.c_str(), &columns_.items[i], true});
        }
        return findNamedColumns(header, named, file_, problems_);
    }

    void report(Weight weight, const DelimitedScanner& scanner, std::string_view column,
                const std::string& fault, const std::string& remedy) {
        problems_.add(weight, [&] {
            Problem problem = problemAt(file_, scanner.row(), shortened(column), fault, remedy);
            problem.subject = shortened(textIn(cellIn(scanner, columns_.subject)));
            problem.food = shortened(textIn(cellIn(scanner, columns_.food)));
            return problem;
        });
    }

    void readRow(const DelimitedScanner& scanner) {
        DiaryDay day;
        day.row = scanner.row();
        const std::string_view subject = textIn(cellIn(scanner, columns_.subject));
        if (const std::string fault = faultOfSubjectCode(subject); !fault.empty()) {
            report(Weight::fatal, scanner, "subject", fault, "give the subject's code");
            return;
        }
        const std::string_view food = textIn(cellIn(scanner, columns_.food));
        if (!findFood(study_, food)) {
            report(Weight::fatal, scanner, "food", "the food " + quote(food) + " is not declared",
                   "add it to the foods in study.json, or mend its spelling");
            return;
        }
        day.subject = subject;
        day.food = food;
        if (!readDayNumber(scanner, day) || !readPeriod(scanner, day)) {
            return;
        }
        if (!seen_.insert({day.subject, day.food, day.period, day.day}).second) {
            report(Weight::fatal, scanner, "day",
                   "subject " + quote(subject) + ", food " + quote(food) + ", period " +
                       (day.period > 0 ? std::to_string(day.period) : std::string{"not given"}) + ", day " +
                       std::to_string(day.day) + " is there twice",
                   "keep one row a day");
            return;
        }
        addSubject(scanner, day.subject);
        for (std::size_t i = 0; i < columns_.items.size(); ++i) {
            const DiaryItem& item = study_.diary.items[i];
            day.scores.push_back(wholeIn(scanner, columns_.items[i], item.id, item.least, item.most));
        }
        day.stoolForm = wholeIn(scanner, columns_.stoolForm, "stool_form", firstStoolForm, lastStoolForm);
        day.stools = wholeIn(scanner, columns_.stools, "stools", 0, mostStools);
        day.doseG = doseIn(scanner);
        study_.diary.days.push_back(std::move(day));
    }

    void addSubject(const DelimitedScanner& scanner, const std::string& subject) {
        if (subjects_.find(subject)) {
            return;
        }
        Subject added;
        added.id = subject;
        subjects_.add(added.id, static_cast<std::uint32_t>(study_.subjects.size()));
        study_.subjects.push_back(std::move(added));
        report(Weight::note, scanner, "subject",
               "the subject " + quote(subject) + " has a diary but no samples", "");
    }

    bool readDayNumber(const DelimitedScanner& scanner, DiaryDay& day) {
        const std::string_view text = cellIn(scanner, columns_.day);
        const auto value = countIn(text);
        if (!value || *value > mostDiaryDays) {
            report(Weight::fatal, scanner, "day",
                   "the day " + quote(text) + " is not a whole number from 1 to " +
                       std::to_string(mostDiaryDays),
                   "number the days of eating the food 1, 2, 3, ...");
            return false;
        }
        day.day = *value;
        return true;
    }

    bool readPeriod(const DelimitedScanner& scanner, DiaryDay& day) {
        const std::string_view text = cellIn(scanner, columns_.period);
        if (readNumber(text).kind == NumberKind::missing) {
            return true;
        }
        const auto value = countIn(text);
        if (!value) {
            report(Weight::fatal, scanner, "period",
                   "the period " + quote(text) + " is not a whole number from 1 to 1000000",
                   "number them 1, 2, 3, ...");
            return false;
        }
        day.period = *value;
        return true;
    }

    std::optional<int> wholeIn(const DelimitedScanner& scanner, std::optional<std::size_t> column,
                               const std::string& name, int least, int most) {
        const std::string_view text = cellIn(scanner, column);
        const NumberCell number = readNumber(text);
        if (number.kind == NumberKind::missing) {
            return std::nullopt;
        }
        const bool fits = number.kind == NumberKind::value && number.value == std::floor(number.value) &&
                          number.value >= least && number.value <= most;
        if (!fits) {
            report(Weight::error, scanner, name,
                   shortened(name) + ": " + quote(text) + " is not a whole number from " +
                       std::to_string(least) + " to " + std::to_string(most) + "; it counts as missing",
                   "mend it by the paper diary, or leave it empty");
            return std::nullopt;
        }
        return static_cast<int>(number.value);
    }

    std::optional<double> doseIn(const DelimitedScanner& scanner) {
        const std::string_view text = cellIn(scanner, columns_.doseG);
        const NumberCell number = readNumber(text);
        if (number.kind == NumberKind::missing) {
            return std::nullopt;
        }
        if (number.kind != NumberKind::value || number.value < 0.0 || number.value > largestDoseG) {
            report(Weight::error, scanner, "dose_g",
                   "dose_g: " + quote(text) + " is not a number of grams from 0; it counts as missing",
                   "give the grams eaten on this day, with a decimal point");
            return std::nullopt;
        }
        return number.value;
    }

    std::string_view file_;
    const ReadLimits& limits_;
    Study& study_;
    ProblemList& problems_;
    DiaryColumns columns_;
    IdIndex subjects_;
    std::set<std::tuple<std::string, std::string, int, int>> seen_;
};

std::string cellFor(const std::optional<int>& value) {
    return value ? std::to_string(*value) : std::string{};
}

}  // namespace

/// Every subject is looked at in every food and dose, for every item.
std::optional<Problem> faultOfSize(const DiaryData& diary) {
    std::set<std::string_view> subjects;
    std::set<std::pair<std::string_view, std::optional<double>>> arms;
    for (const DiaryDay& day : diary.days) {
        subjects.insert(day.subject);
        arms.insert({day.food, day.doseG});
        if (arms.size() > mostDiaryArms) {
            return problemAt({}, day.row, "dose_g",
                             "the diary has more than the " + std::to_string(mostDiaryArms) +
                                 " foods and doses that are read",
                             "check that dose_g holds the planned doses");
        }
    }
    constexpr std::size_t stoolQuantities = 2;
    const std::size_t quantities = diary.items.size() + 1 + stoolQuantities;
    if (subjects.size() * arms.size() * quantities > mostDiaryScores) {
        return problemAt({}, 0, {},
                         "the diary has more than the " + std::to_string(mostDiaryScores) +
                             " subjects × foods and doses × items that are read",
                         "check that it is the right file");
    }
    return std::nullopt;
}

void readDiaryCsv(std::string_view bytes, std::string_view file, const ReadLimits& limits, Study& study,
                  ProblemList& problems) {
    const Result<std::string_view> text = checkedText(bytes, file);
    if (!text) {
        problems.add(Weight::fatal, text.problem());
        return;
    }
    DiaryReading{file, limits, study, problems}.read(text.value());
}

std::string diaryCsv(const DiaryData& diary) {
    const auto used = [&diary](auto says) { return std::any_of(diary.days.begin(), diary.days.end(), says); };
    const bool period = used([](const DiaryDay& day) { return day.period > 0; });
    const bool dose = used([](const DiaryDay& day) { return day.doseG.has_value(); });
    const bool form = used([](const DiaryDay& day) { return day.stoolForm.has_value(); });
    const bool stools = used([](const DiaryDay& day) { return day.stools.has_value(); });
    std::string text = "subject,food";
    text += std::string{period ? ",period" : ""} + ",day" + (dose ? ",dose_g" : "");
    for (const DiaryItem& item : diary.items) {
        text += "," + textCell(item.id);
    }
    text += std::string{form ? ",stool_form" : ""} + (stools ? ",stools" : "") + "\n";
    for (const DiaryDay& day : diary.days) {
        text += textCell(day.subject) + "," + textCell(day.food);
        if (period) {
            text += "," + (day.period > 0 ? std::to_string(day.period) : std::string{});
        }
        text += "," + std::to_string(day.day);
        if (dose) {
            text += "," + (day.doseG ? plainNumber(*day.doseG) : std::string{});
        }
        for (const auto& score : day.scores) {
            text += "," + cellFor(score);
        }
        if (form) {
            text += "," + cellFor(day.stoolForm);
        }
        if (stools) {
            text += "," + cellFor(day.stools);
        }
        text += "\n";
    }
    return text;
}

}  // namespace aftercurve
