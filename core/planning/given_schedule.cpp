#include "core/planning/given_schedule.h"

#include <algorithm>
#include <charconv>
#include <unordered_map>

#include "core/files/csv_cell.h"
#include "core/files/csv_rows.h"
#include "core/files/excerpt.h"
#include "core/files/read_file.h"
#include "core/files/text_check.h"

namespace aftercurve {

namespace {

constexpr std::size_t mostPeriods = 100;
constexpr std::size_t mostGivenFoods = 1000;
constexpr std::size_t problemsListed = 200;
constexpr std::string_view periodPrefix = "period_";

std::optional<std::size_t> wholeNumber(std::string_view text) {
    std::size_t value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc{} || end != text.data() + text.size() || value < 1 || value > mostPeriods) {
        return std::nullopt;
    }
    return value;
}

class ScheduleReading {
  public:
    explicit ScheduleReading(std::string_view file) : file_(file), problems_(problemsListed) {}

    GivenReading read(std::string_view text) {
        ReadLimits limits;
        limits.rows = mostScheduledSubjects * mostPeriods;
        readCsvRows(
            text, file_, limits, problems_, [this](const CsvHeader& header) { return findColumns(header); },
            [this] { return rows_; },
            [this](const DelimitedScanner& row) {
                ++rows_;
                if (periods_.empty()) {
                    readVisit(row);
                } else {
                    readSubject(row);
                }
            });
        if (!problems_.failed() && schedule_.subjects.empty()) {
            fail(1, {}, "the schedule has no row", "give one row a subject");
        }
        GivenReading reading;
        if (!problems_.failed()) {
            for (GivenSubject& subject : schedule_.subjects) {
                schedule_.periods = std::max(schedule_.periods, subject.foods.size());
            }
            for (GivenSubject& subject : schedule_.subjects) {
                subject.foods.resize(schedule_.periods);
            }
            reading.schedule = std::move(schedule_);
        }
        reading.problems = problems_.take();
        return reading;
    }

  private:
    void fail(std::size_t row, std::string_view column, std::string what, std::string remedy) {
        problems_.add(Weight::fatal, problemAt(file_, row, column, std::move(what), std::move(remedy)));
    }

    /// The column of that name; a second one is a fault.
    std::optional<std::size_t> find(const CsvHeader& header, std::string_view name) {
        if (std::count(header.names.begin(), header.names.end(), name) > 1) {
            fail(header.row, name, "the column stands twice", "keep one of them");
        }
        return header.find(name);
    }

    bool findColumns(const CsvHeader& header) {
        subject_ = find(header, "subject");
        stratum_ = find(header, "stratum");
        if (!subject_) {
            fail(header.row, "subject", "there is no column subject",
                 "name the column with the subjects' codes");
        }
        const auto wide = static_cast<std::size_t>(
            std::count_if(header.names.begin(), header.names.end(),
                          [](const std::string& name) { return name.starts_with(periodPrefix); }));
        if (wide > mostPeriods) {
            fail(header.row, {}, "there are more than 100 periods", "check that it is the right file");
            return false;
        }
        for (std::size_t i = 1; i <= wide; ++i) {
            const std::string name = std::string{periodPrefix} + std::to_string(i);
            if (const auto column = find(header, name)) {
                periods_.push_back(*column);
            } else {
                fail(header.row, name, "there is no column " + name,
                     "number the columns of the periods from 1 without a gap");
            }
        }
        if (wide == 0) {
            period_ = find(header, "period");
            food_ = find(header, "food");
            if (!period_ || !food_) {
                fail(
                    header.row, {}, "the columns of the foods are missing",
                    "give period_1, period_2, ... (one row a subject), or period and food (one row a visit)");
            }
        }
        return !problems_.failed();
    }

    static std::string cell(const DelimitedScanner& row, std::optional<std::size_t> column) {
        return column ? std::string{textIn(trimmed(row.cells()[*column]))} : std::string{};
    }

    std::optional<std::size_t> foodOf(const std::string& id, std::size_t row) {
        if (id.empty()) {
            return std::nullopt;
        }
        const auto [at, added] = foods_.try_emplace(id, schedule_.foods.size());
        if (added) {
            if (schedule_.foods.size() >= mostGivenFoods) {
                fail(row, {}, "there are more than 1000 foods", "check that it is the right file");
            } else {
                schedule_.foods.push_back(id);
            }
        }
        return at->second;
    }

    /// The subject of a row, added where it is new; nothing where it cannot be used.
    GivenSubject* subjectOf(const DelimitedScanner& row, bool mayBeKnown) {
        const std::string code = cell(row, subject_);
        if (code.empty()) {
            fail(row.row(), "subject", "there is no subject's code", "give the subject's code");
            return nullptr;
        }
        const auto [at, added] = subjects_.try_emplace(code, schedule_.subjects.size());
        if (!added && !mayBeKnown) {
            fail(row.row(), "subject", "subject " + quote(code) + " stands twice", "keep one row a subject");
            return nullptr;
        }
        if (added) {
            schedule_.subjects.push_back({code, cell(row, stratum_), {}, row.row()});
        }
        return &schedule_.subjects[at->second];
    }

    void readSubject(const DelimitedScanner& row) {
        if (problems_.failed()) {
            return;
        }
        if (GivenSubject* subject = subjectOf(row, false)) {
            for (const std::size_t column : periods_) {
                subject->foods.push_back(foodOf(cell(row, column), row.row()));
            }
        }
    }

    void readVisit(const DelimitedScanner& row) {
        if (problems_.failed()) {
            return;
        }
        const std::string text = cell(row, period_);
        const auto period = wholeNumber(text);
        if (!period) {
            fail(row.row(), "period", "the period " + quote(text) + " is no whole number from 1 to 100",
                 "give 1 for the first visit, 2 for the next");
            return;
        }
        GivenSubject* subject = subjectOf(row, true);
        if (subject == nullptr) {
            return;
        }
        if (subject->foods.size() < *period) {
            subject->foods.resize(*period);
        }
        if (subject->foods[*period - 1]) {
            fail(row.row(), "period", "subject " + quote(subject->subject) + " has period " + text + " twice",
                 "keep one food a period");
            return;
        }
        subject->foods[*period - 1] = foodOf(cell(row, food_), row.row());
    }

    std::string_view file_;
    ProblemList problems_;
    GivenSchedule schedule_;
    std::size_t rows_ = 0;
    std::optional<std::size_t> subject_;
    std::optional<std::size_t> stratum_;
    std::optional<std::size_t> period_;
    std::optional<std::size_t> food_;
    std::vector<std::size_t> periods_;  ///< columns period_1, ...; empty: one row a visit
    std::unordered_map<std::string, std::size_t> foods_;
    std::unordered_map<std::string, std::size_t> subjects_;
};

}  // namespace

GivenSchedule givenFrom(const Schedule& schedule) {
    GivenSchedule given;
    given.foods = schedule.options.foods;
    given.periods = schedule.options.foods.size();
    for (const ScheduledSubject& subject : schedule.subjects) {
        const FoodSequence& sequence = schedule.sequences[subject.sequence];
        GivenSubject one{subject.subject, schedule.options.strata[subject.stratum].name, {}, 0};
        one.foods.assign(sequence.begin(), sequence.end());
        given.subjects.push_back(std::move(one));
    }
    return given;
}

GivenReading readSchedule(std::string_view text, std::string_view file) {
    const auto checked = checkedText(text, file);
    if (!checked) {
        return {std::nullopt, {checked.problem()}};
    }
    return ScheduleReading(file).read(checked.value());
}

GivenReading readScheduleFile(const std::filesystem::path& path) {
    constexpr std::uintmax_t mostBytes = std::uintmax_t{16} << 20U;
    const auto bytes = readAnywhere(path, mostBytes);
    if (!bytes) {
        return {std::nullopt, {bytes.problem()}};
    }
    return readSchedule(bytes.value().view(), path.filename().string());
}

}  // namespace aftercurve
