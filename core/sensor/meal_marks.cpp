#include "core/sensor/meal_marks.h"

#include <algorithm>
#include <array>
#include <map>
#include <set>
#include <tuple>

#include "core/files/cell_rules.h"
#include "core/files/excerpt.h"
#include "core/sensor/sensor_clock.h"
#include "core/sensor/sensor_columns.h"

namespace aftercurve {

namespace {

struct MarkRow {
    MealMark mark;
    std::size_t subject = 0;  ///< position as first met
    bool numbered = false;    ///< the file gives the visit
};

class MarkReader {
  public:
    MarkReader(const Source& source, const MealMarkOptions& options, ProblemList& problems)
        : source_(source), options_(options), problems_(problems) {
        wishes_ = {SensorColumnWish{SensorColumn::subject, options.subjectColumn},
                   SensorColumnWish{SensorColumn::time, options.timeColumn},
                   SensorColumnWish{SensorColumn::food, options.foodColumn},
                   SensorColumnWish{SensorColumn::visit, options.visitColumn, false}};
    }

    MealMarks read() {
        visitSensorRows(
            source_, mostMealMarks, std::nullopt, wishes_, problems_, [](const SensorHeader&, char) {},
            [this](std::size_t row, std::span<const RawCell> cells) { takeRow(row, cells); },
            [this](double) { return !problems_.failed(); });
        std::stable_sort(rows_.begin(), rows_.end(), [](const MarkRow& a, const MarkRow& b) {
            return std::tie(a.subject, a.mark.second) < std::tie(b.subject, b.mark.second);
        });
        return {source_.file, source_.sha256, numbered()};
    }

  private:
    void leaveOut(std::size_t row, std::string_view column, const std::string& subject, std::string what,
                  std::string remedy) {
        problems_.add(Weight::error, [&] {
            Problem problem =
                problemAt(source_.file, row, column, what + "; the meal is left out", std::move(remedy));
            problem.subject = subject;
            return problem;
        });
    }

    void takeRow(std::size_t row, std::span<const RawCell> cells) {
        if (problems_.failed()) {
            return;
        }
        MarkRow read;
        read.mark.row = static_cast<std::uint32_t>(row);
        read.mark.subject = sensorCellText(cells, wishes_[0].found);
        read.mark.food = sensorCellText(cells, wishes_[2].found);
        if (const std::string fault = faultOfSensorCode(read.mark.subject); !fault.empty()) {
            return leaveOut(row, "subject", {}, "the subject " + fault, "write the code of the subject");
        }
        const std::string& subject = read.mark.subject;
        if (const std::string fault = faultOfSensorCode(read.mark.food); !fault.empty()) {
            return leaveOut(row, "food", subject, "the food " + fault, "write the id of the food");
        }
        const std::string_view time = sensorCellText(cells, wishes_[1].found);
        const SensorClock clock = readSensorClock(time, options_.dateOrder);
        if (clock.fault == SensorClockFault::needsOrder) {
            problems_.add(Weight::fatal,
                          problemAt(source_.file, row, "time",
                                    quote(time) + " does not say whether the day or the month comes first",
                                    "state the order, or write dates as 2026-03-02"));
            return;
        }
        if (clock.fault == SensorClockFault::unreadable) {
            return leaveOut(row, "time", subject, quote(time) + " is no day with a time of day",
                            "write it as 2026-03-02 08:05");
        }
        read.mark.second = clock.second;
        const std::string_view visit = sensorCellText(cells, wishes_[3].found);
        if (!visit.empty()) {
            const auto number = countIn(visit);
            if (!number) {
                return leaveOut(row, "visit", subject, quote(visit) + " is no visit",
                                "write a whole number from 1");
            }
            read.mark.visit = *number;
            read.numbered = true;
        }
        read.subject = subjects_.emplace(subject, subjects_.size()).first->second;
        rows_.push_back(std::move(read));
    }

    /// The marks in order, with their visits, without those that stand twice.
    std::vector<MealMark> numbered() {
        std::set<std::tuple<std::size_t, std::string, int>> visits;
        std::vector<bool> out(rows_.size(), false);
        for (std::size_t i = 0; i < rows_.size(); ++i) {
            const MarkRow& row = rows_[i];
            if (i > 0 && rows_[i - 1].subject == row.subject && rows_[i - 1].mark.second == row.mark.second) {
                out[i] = true;
                leaveOut(row.mark.row, "time", row.mark.subject,
                         "a second meal at " + sensorClockText(row.mark.second),
                         "write one row for what was eaten together");
            } else if (row.numbered && !visits.insert({row.subject, row.mark.food, row.mark.visit}).second) {
                out[i] = true;
                leaveOut(row.mark.row, "visit", row.mark.subject,
                         "a second meal of " + quote(row.mark.food) + " with visit " +
                             std::to_string(row.mark.visit),
                         "number the visits of a food");
            }
        }
        std::map<std::pair<std::size_t, std::string>, int> next;
        std::vector<MealMark> marks;
        for (std::size_t i = 0; i < rows_.size(); ++i) {
            MarkRow& row = rows_[i];
            if (out[i]) {
                continue;
            }
            if (!row.numbered) {
                int& visit = next[{row.subject, row.mark.food}];
                do {
                    ++visit;
                } while (!visits.insert({row.subject, row.mark.food, visit}).second);
                row.mark.visit = visit;
            }
            marks.push_back(std::move(row.mark));
        }
        if (marks.empty()) {
            problems_.add(Weight::warning, problemAt(source_.file, 0, {}, "the file marks no meal",
                                                     "add a row for each meal"));
        }
        return marks;
    }

    const Source& source_;
    const MealMarkOptions& options_;
    ProblemList& problems_;
    std::array<SensorColumnWish, 4> wishes_;
    std::map<std::string, std::size_t> subjects_;
    std::vector<MarkRow> rows_;
};

}  // namespace

MealMarksRead readMealMarks(const Source& source, const MealMarkOptions& options) {
    MealMarksRead read;
    ProblemList problems{options.problemsListed};
    MealMarks marks = MarkReader{source, options, problems}.read();
    if (!problems.failed()) {
        read.marks = std::move(marks);
    }
    read.problems = problems.take();
    return read;
}

}  // namespace aftercurve
