#include "core/sensor/sensor_readings.h"

#include <algorithm>
#include <array>

#include "core/base/number_text.h"
#include "core/base/progress_part.h"
#include "core/files/excerpt.h"
#include "core/files/id_index.h"
#include "core/intake/fold_text.h"
#include "core/intake/header_words.h"
#include "core/intake/read_cell.h"
#include "core/sensor/sensor_clock.h"
#include "core/sensor/sensor_columns.h"
#include "core/sensor/sensor_order.h"
#include "core/study/units.h"

namespace aftercurve {

namespace {

constexpr std::size_t mostSubjects = 10'000;

bool isWord(std::string_view text, std::initializer_list<std::string_view> words) {
    if (text.empty() || text.size() > 20) {
        return false;
    }
    const std::string folded = foldedWords(text);
    return std::find(words.begin(), words.end(), folded) != words.end();
}

bool isMissingWord(std::string_view text) {
    return text.empty() || isWord(text, {"na", "n a", "nan", "null", "none", "missing", ""});
}

class SensorReader {
  public:
    SensorReader(const Source& source, const SensorReadOptions& options, ProblemList& problems)
        : source_(source), options_(options), problems_(problems) {
        readings_.file = source.file;
        readings_.sha256 = source.sha256;
        readings_.unit = canonicalUnit(options.unit);
        wishes_ = {SensorColumnWish{SensorColumn::subject, options.subjectColumn},
                   SensorColumnWish{SensorColumn::time, options.timeColumn},
                   SensorColumnWish{SensorColumn::value, options.valueColumn},
                   SensorColumnWish{SensorColumn::unit, options.unitColumn, false}};
    }

    /// False where it was stopped.
    bool read(const Progress& progress) {
        if (!readings_.unit.empty() && !checkUnit(readings_.unit, 0)) {
            return true;
        }
        const Progress reading = partOf(progress, 0.0, 0.9);
        const bool whole = visitSensorRows(
            source_, options_.mostRows, options_.decimalMark, wishes_, problems_,
            [this](const SensorHeader& header, char mark) { begin(header, mark); },
            [this](std::size_t row, std::span<const RawCell> cells) { takeRow(row, cells); },
            [this, &reading](double share) {
                return !problems_.failed() && (!reading || reading(share, "reading"));
            });
        if (problems_.failed()) {
            return true;
        }
        return whole && order(partOf(progress, 0.9, 1.0));
    }

    SensorReadings take() { return std::move(readings_); }

  private:
    void begin(const SensorHeader& header, char decimalMark) {
        decimalMark_ = decimalMark;
        const std::string said = unitNamedIn(header.names[*wishes_[2].found]);
        if (wishes_[3].found) {
            return;  // each row says
        }
        const std::string unit = said.empty() ? readings_.unit : canonicalUnit(said);
        if (unit.empty()) {
            problems_.add(Weight::fatal,
                          problemAt(source_.file, header.row, header.names[*wishes_[2].found],
                                    "the unit of the readings is not given",
                                    "write it into the header, as 'glucose [mmol/L]', or state it"));
            return;
        }
        setFileUnit(unit, header.row);
    }

    bool checkUnit(const std::string& unit, std::size_t row) {
        const Result<double> toSi = conversionFactor("glucose", unit, "mmol/L");
        if (!toSi) {
            Problem problem = toSi.problem();
            problem.file = source_.file;
            problem.row = row;
            problems_.add(Weight::fatal, std::move(problem));
        }
        return toSi.ok();
    }

    void setFileUnit(const std::string& unit, std::size_t row) {
        if (!checkUnit(unit, row)) {
            return;
        }
        if (readings_.unit.empty()) {
            readings_.unit = unit;
        }
        factor_ = conversionFactor("glucose", unit, readings_.unit).value();
        toSi_ = conversionFactor("glucose", readings_.unit, "mmol/L").value();
        if (unit != readings_.unit && converted_.empty()) {
            converted_ = unit;
            problems_.add(Weight::note,
                          problemAt(source_.file, row, {},
                                    "readings in " + unit + " are converted to " + readings_.unit));
        }
    }

    void takeRow(std::size_t row, std::span<const RawCell> cells) {
        ++readings_.rows;
        if (problems_.failed()) {
            return;
        }
        if (wishes_[3].found) {
            const std::string_view unit = sensorCellText(cells, wishes_[3].found);
            if (!unit.empty() && unit != lastUnit_) {
                lastUnit_ = unit;
                setFileUnit(canonicalUnit(unit), row);
            } else if (unit.empty() && lastUnit_.empty()) {
                lastUnit_ = readings_.unit;
                if (lastUnit_.empty()) {
                    problems_.add(Weight::fatal, problemAt(source_.file, row, "unit", "the row has no unit",
                                                           "fill the column, or state the unit"));
                    return;
                }
                setFileUnit(lastUnit_, row);
            }
            if (problems_.failed()) {
                return;
            }
        }
        SensorTrace* trace = traceOf(sensorCellText(cells, wishes_[0].found), row);
        if (trace == nullptr) {
            return;
        }
        const auto second = secondOf(sensorCellText(cells, wishes_[1].found), *trace, row);
        if (second) {
            takeValue(cells, *second, *trace, row);
        }
    }

    SensorTrace* traceOf(std::string_view subject, std::size_t row) {
        if (last_ < readings_.traces.size() && readings_.traces[last_].subject == subject) {
            return &readings_.traces[last_];
        }
        if (const auto found = index_.find(subject)) {
            last_ = *found;
            return &readings_.traces[last_];
        }
        if (const std::string fault = faultOfSensorCode(subject); !fault.empty()) {
            problems_.add(Weight::error, [&] {
                return problemAt(source_.file, row, "subject",
                                 "the subject " + fault + "; the row is left out",
                                 "write the code of the subject into each row");
            });
            return nullptr;
        }
        if (readings_.traces.size() >= mostSubjects) {
            problems_.add(Weight::fatal,
                          problemAt(source_.file, row, "subject",
                                    "the file has more than " + std::to_string(mostSubjects) + " subjects",
                                    "check which column is the subject"));
            return nullptr;
        }
        last_ = readings_.traces.size();
        index_.add(subject, static_cast<std::uint32_t>(last_));
        readings_.traces.emplace_back();
        readings_.traces.back().subject = subject;
        return &readings_.traces.back();
    }

    std::optional<std::int64_t> secondOf(std::string_view text, const SensorTrace& trace, std::size_t row) {
        const SensorClock clock = readSensorClock(text, options_.dateOrder);
        if (clock.fault == SensorClockFault::needsOrder) {
            problems_.add(Weight::fatal,
                          problemAt(source_.file, row, "time",
                                    quote(text) + " does not say whether the day or the month comes first",
                                    "state the order, or write dates as 2026-03-02"));
            return std::nullopt;
        }
        if (clock.fault == SensorClockFault::unreadable) {
            problems_.add(Weight::error, [&] {
                return at(
                    trace, row, "time",
                    (text.empty() ? "the time is empty" : quote(text) + " is no day with a time of day") +
                        std::string{"; the row is left out"},
                    "write it as 2026-03-02 08:05");
            });
            return std::nullopt;
        }
        offsets_ += clock.offsetIgnored ? 1 : 0;
        return clock.second;
    }

    void takeValue(std::span<const RawCell> cells, std::int64_t second, SensorTrace& trace, std::size_t row) {
        const std::string_view text = sensorCellText(cells, wishes_[2].found);
        const RawCell cell{text.empty() ? CellKind::empty : CellKind::text, text, 0.0};
        const CellValue value = readConcentration(cell, decimalMark_);
        const auto line = static_cast<std::uint32_t>(row);
        if (value.kind == CellValueKind::value && value.number > 0.0) {
            const double converted = value.number * factor_;
            trace.readings.push_back({second, converted, line});
            const double si = converted * toSi_;
            if (si < lowestSensorMmolPerL || si > highestSensorMmolPerL) {
                problems_.add(Weight::warning, [&] {
                    Problem problem =
                        at(trace, row, "glucose",
                           plainNumber(value.number) + " lies outside what a sensor gives in this unit (" +
                               plainNumber(lowestSensorMmolPerL) + " to " +
                               plainNumber(highestSensorMmolPerL) + " mmol/L); it is kept",
                           "check the unit and the reading");
                    return problem;
                });
            }
            return;
        }
        const bool above = !text.empty() && text.front() == '>';
        if (value.kind == CellValueKind::belowLimit || above ||
            isWord(text, {"low", "lo", "below range", "too low"}) ||
            isWord(text, {"high", "hi", "above range", "too high"})) {
            const bool high =
                above || foldedWords(text).starts_with("hi") || isWord(text, {"above range", "too high"});
            trace.outOfRange.push_back({second, high, line});
            ++(high ? high_ : low_);
            return;
        }
        if (isMissingWord(text)) {
            ++missing_;
            return;
        }
        problems_.add(Weight::error, [&] {
            return at(trace, row, "glucose",
                      quote(text) + ' ' +
                          (value.kind == CellValueKind::value ? std::string{"is not above 0"}
                           : value.fault.empty()              ? std::string{"is not a number"}
                                                              : std::string{value.fault}) +
                          "; the reading is left out",
                      "mend the cell, or leave it empty");
        });
    }

    Problem at(const SensorTrace& trace, std::size_t row, std::string_view column, std::string what,
               std::string remedy) const {
        Problem problem = problemAt(source_.file, row, column, std::move(what), std::move(remedy));
        problem.subject = trace.subject;
        return problem;
    }

    void tally(std::size_t count, const std::string& what) {
        if (count > 0) {
            problems_.add(Weight::note, problemAt(source_.file, 0, {}, std::to_string(count) + what));
        }
    }

    bool order(const Progress& progress) {
        tally(missing_, " rows have a time and no reading; they count as missing");
        tally(low_, " readings are given as below the sensor's range; they have no number and are missing");
        tally(high_, " readings are given as above the sensor's range; they have no number and are missing");
        tally(offsets_, " times carry an offset from UTC; the clock is taken as written, without it");
        for (std::size_t i = 0; i < readings_.traces.size(); ++i) {
            if (progress &&
                !progress(static_cast<double>(i) / static_cast<double>(readings_.traces.size()), "sorting")) {
                return false;
            }
            orderSensorTrace(readings_.traces[i], source_.file, problems_);
        }
        if (readingCount(readings_) == 0) {
            problems_.add(Weight::fatal,
                          problemAt(source_.file, 0, {}, "no row holds a reading that can be used",
                                    "check which columns are subject, time and glucose"));
        }
        return true;
    }

    const Source& source_;
    const SensorReadOptions& options_;
    ProblemList& problems_;
    SensorReadings readings_;
    std::array<SensorColumnWish, 4> wishes_;
    IdIndex index_;
    std::size_t last_ = 0;
    char decimalMark_ = '.';
    double factor_ = 1.0;
    double toSi_ = 1.0;
    std::string converted_;
    std::string lastUnit_;
    std::size_t missing_ = 0;
    std::size_t low_ = 0;
    std::size_t high_ = 0;
    std::size_t offsets_ = 0;
};

}  // namespace

SensorReadingsRead readSensorReadings(const Source& source, const SensorReadOptions& options,
                                      const Progress& progress) {
    SensorReadingsRead read;
    ProblemList problems{options.problemsListed};
    SensorReader reader{source, options, problems};
    read.stopped = !reader.read(progress);
    if (!read.stopped && !problems.failed()) {
        read.readings = reader.take();
    }
    read.problems = problems.take();
    return read;
}

std::size_t readingCount(const SensorReadings& readings) {
    std::size_t count = 0;
    for (const SensorTrace& trace : readings.traces) {
        count += trace.readings.size();
    }
    return count;
}

}  // namespace aftercurve
