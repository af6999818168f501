#include "core/files/visits_csv.h"

#include <array>
#include <chrono>
#include <set>
#include <string>
#include <tuple>

#include "core/files/cell_rules.h"
#include "core/files/csv_cell.h"
#include "core/files/csv_rows.h"
#include "core/files/excerpt.h"
#include "core/files/id_index.h"
#include "core/files/number_cell.h"
#include "core/files/subjects_csv.h"
#include "core/files/text_check.h"

namespace aftercurve {

namespace {

/// The digits of text[from, from + length) as a number; -1 where they are not digits.
int digits(std::string_view text, std::size_t from, std::size_t length) {
    int value = 0;
    for (const char c : text.substr(from, length)) {
        if (c < '0' || c > '9') {
            return -1;
        }
        value = value * 10 + (c - '0');
    }
    return value;
}

struct VisitColumns {
    std::optional<std::size_t> subject;
    std::optional<std::size_t> food;
    std::optional<std::size_t> visit;
    std::optional<std::size_t> period;
    std::optional<std::size_t> date;
    std::optional<std::size_t> mealStart;
    std::optional<std::size_t> remark;
};

class VisitsReading {
  public:
    VisitsReading(std::string_view file, const ReadLimits& limits, Study& study, ProblemList& problems)
        : file_(file), limits_(limits), study_(study), problems_(problems) {
        for (std::size_t i = 0; i < study.subjects.size(); ++i) {
            subjects_.add(study.subjects[i].id, static_cast<std::uint32_t>(i));
        }
    }

    void read(std::string_view text) {
        readCsvRows(
            text, file_, limits_, problems_, [this](const CsvHeader& header) { return findColumns(header); },
            [this] { return study_.visits.size(); }, [this](const DelimitedScanner& row) { readRow(row); });
    }

  private:
    bool findColumns(const CsvHeader& header) {
        const std::array named{NamedColumn{"subject", &columns_.subject, true},
                               NamedColumn{"food", &columns_.food, true},
                               NamedColumn{"visit", &columns_.visit},
                               NamedColumn{"period", &columns_.period},
                               NamedColumn{"date", &columns_.date},
                               NamedColumn{"meal_start", &columns_.mealStart},
                               NamedColumn{"remark", &columns_.remark}};
        return findNamedColumns(header, named, file_, problems_);
    }

    void report(Weight weight, const DelimitedScanner& scanner, const char* column, const std::string& fault,
                const char* remedy) {
        problems_.add(weight, [&] {
            Problem problem = problemAt(file_, scanner.row(), column, fault, remedy);
            problem.subject = shortened(textIn(cellIn(scanner, columns_.subject)));
            problem.food = shortened(textIn(cellIn(scanner, columns_.food)));
            return problem;
        });
    }

    void readRow(const DelimitedScanner& scanner) {
        VisitRecord record;
        record.row = static_cast<std::uint32_t>(scanner.row());
        const std::string_view subject = textIn(cellIn(scanner, columns_.subject));
        if (const std::string fault = faultOfSubjectCode(subject); !fault.empty()) {
            report(Weight::fatal, scanner, "subject", fault, "give the subject's code");
            return;
        }
        const std::string_view foodId = textIn(cellIn(scanner, columns_.food));
        const auto food = findFood(study_, foodId);
        if (!food) {
            report(Weight::fatal, scanner, "food", "the food " + quote(foodId) + " is not declared",
                   "add it to the foods in study.json, or mend its spelling");
            return;
        }
        record.food = static_cast<std::uint32_t>(*food);
        if (!readCount(scanner, columns_.visit, "visit", record.visit) ||
            !readCount(scanner, columns_.period, "period", record.period)) {
            return;
        }
        auto position = subjects_.find(subject);
        if (!position) {
            position = static_cast<std::uint32_t>(study_.subjects.size());
            Subject added;
            added.id = std::string{subject};
            subjects_.add(added.id, *position);
            study_.subjects.push_back(std::move(added));
            report(Weight::note, scanner, "subject",
                   "the subject " + quote(subject) + " has visits but no samples", "");
        }
        record.subject = *position;
        if (!seen_.insert({record.subject, record.food, record.visit}).second) {
            report(Weight::fatal, scanner, "visit",
                   "subject " + quote(subject) + ", food " + quote(foodId) + ", visit " +
                       std::to_string(record.visit) + " is there twice",
                   "keep one row a visit");
            return;
        }
        record.date = checkedText(scanner, columns_.date, "date", isIsoDate, "is not a date YYYY-MM-DD");
        record.mealStart =
            checkedText(scanner, columns_.mealStart, "meal_start", isClockTime, "is not a clock time HH:MM");
        record.remark = remarkIn(scanner);
        study_.visits.push_back(std::move(record));
    }

    bool readCount(const DelimitedScanner& scanner, std::optional<std::size_t> column, const char* name,
                   std::int32_t& count) {
        const std::string_view text = cellIn(scanner, column);
        if (readNumber(text).kind == NumberKind::missing) {
            return true;
        }
        const auto value = countIn(text);
        if (!value) {
            report(
                Weight::fatal, scanner, name,
                "the " + std::string{name} + " " + quote(text) + " is not a whole number from 1 to 1000000",
                "number them 1, 2, 3, ...");
            return false;
        }
        count = *value;
        return true;
    }

    std::string remarkIn(const DelimitedScanner& scanner) {
        FreeText remark = freeTextIn(cellIn(scanner, columns_.remark));
        if (remark.shortened) {
            report(
                Weight::warning, scanner, "remark",
                "the remark is longer than " + std::to_string(longestText) + " bytes; the rest is not shown",
                "shorten it");
        }
        return std::move(remark.text);
    }

    std::string checkedText(const DelimitedScanner& scanner, std::optional<std::size_t> column,
                            const char* name, bool (*fits)(std::string_view), const char* fault) {
        const std::string_view text = cellIn(scanner, column);
        if (readNumber(text).kind == NumberKind::missing) {
            return {};
        }
        if (!fits(text)) {
            report(Weight::warning, scanner, name,
                   std::string{name} + ": " + quote(text) + " " + fault + "; it is left out", "mend it");
            return {};
        }
        return std::string{text};
    }

    std::string_view file_;
    const ReadLimits& limits_;
    Study& study_;
    ProblemList& problems_;
    VisitColumns columns_;
    IdIndex subjects_;
    std::set<std::tuple<std::uint32_t, std::uint32_t, std::int32_t>> seen_;
};

}  // namespace

void readVisitsCsv(std::string_view bytes, std::string_view file, const ReadLimits& limits, Study& study,
                   ProblemList& problems) {
    const Result<std::string_view> text = checkedText(bytes, file);
    if (!text) {
        problems.add(Weight::fatal, text.problem());
        return;
    }
    VisitsReading{file, limits, study, problems}.read(text.value());
}

bool isIsoDate(std::string_view text) {
    if (text.size() != 10 || text[4] != '-' || text[7] != '-') {
        return false;
    }
    const int year = digits(text, 0, 4);
    const int month = digits(text, 5, 2);
    const int day = digits(text, 8, 2);
    if (year < 0 || month < 1 || day < 1) {
        return false;
    }
    return std::chrono::year_month_day{std::chrono::year{year},
                                       std::chrono::month(static_cast<unsigned>(month)),
                                       std::chrono::day(static_cast<unsigned>(day))}
        .ok();
}

bool isClockTime(std::string_view text) {
    const bool seconds = text.size() == 8 && text[5] == ':';
    if (!(seconds || text.size() == 5) || text[2] != ':') {
        return false;
    }
    const int hour = digits(text, 0, 2);
    const int minute = digits(text, 3, 2);
    const int second = seconds ? digits(text, 6, 2) : 0;
    return hour >= 0 && hour < 24 && minute >= 0 && minute < 60 && second >= 0 && second < 60;
}

}  // namespace aftercurve
