#include "core/sensor/sensor_order.h"

#include <algorithm>

#include "core/base/number_text.h"
#include "core/sensor/sensor_clock.h"

namespace aftercurve {

namespace {

constexpr std::int64_t largestStepBack = 3 * 3600;
constexpr std::size_t leastRunThrough = 3;
/// Bounds of the look at a step back, so that a hostile file costs no more than its length.
constexpr std::size_t mostLookedOn = 64;
constexpr std::size_t mostLookedBack = 256;

bool earlier(const SensorReading& a, const SensorReading& b) {
    return a.second < b.second;
}

Problem about(const SensorTrace& trace, std::string_view file, std::uint32_t row, std::string what,
              std::string remedy = {}) {
    Problem problem = problemAt(file, row, {}, std::move(what), std::move(remedy));
    problem.subject = trace.subject;
    return problem;
}

std::vector<std::size_t> stepsBack(const std::vector<SensorReading>& readings) {
    std::vector<std::size_t> steps;
    for (std::size_t i = 1; i < readings.size(); ++i) {
        if (readings[i].second < readings[i - 1].second) {
            steps.push_back(i);
        }
    }
    return steps;
}

/// True where `at` is the first reading after the clock was set back, and not that of rows given again.
bool isClockSetBack(const std::vector<SensorReading>& readings, std::size_t at) {
    const std::int64_t before = readings[at - 1].second;
    if (before - readings[at].second > largestStepBack) {
        return false;
    }
    std::size_t run = 1;
    std::size_t repeated = 0;
    const std::size_t end = std::min(readings.size(), at + mostLookedOn);
    for (std::size_t i = at; i < end && readings[i].second <= before; ++i) {
        if (i > at && readings[i].second <= readings[i - 1].second) {
            return false;
        }
        run = i - at + 1;
        const std::size_t oldest = at - std::min(at, mostLookedBack);
        for (std::size_t j = at; j-- > oldest && readings[j].second >= readings[i].second;) {
            if (readings[j].second == readings[i].second && readings[j].value == readings[i].value) {
                ++repeated;
                break;
            }
        }
    }
    return run >= leastRunThrough && 2 * repeated < run;
}

void findClockBack(SensorTrace& trace, const std::vector<std::size_t>& steps, std::string_view file,
                   ProblemList& problems) {
    const auto& readings = trace.readings;
    for (const std::size_t at : steps) {
        if (!isClockSetBack(readings, at)) {
            continue;
        }
        const SensorClockBack back{readings[at].second, readings[at - 1].second};
        trace.clockBack.push_back(back);
        problems.add(Weight::warning, [&] {
            return about(trace, file, readings[at].row,
                         "the clock goes back from " + sensorClockText(back.to) + " to " +
                             sensorClockText(back.from) +
                             ": local time between them stands twice, and no curve is cut there",
                         "a change to winter time, or a clock that was set; write the file in one clock");
        });
    }
}

/// One reading at a time.
void dropDoubled(SensorTrace& trace, std::string_view file, ProblemList& problems) {
    std::vector<SensorReading>& readings = trace.readings;
    std::size_t same = 0;
    std::size_t kept = 0;
    for (std::size_t i = 0; i < readings.size();) {
        std::size_t end = i + 1;
        bool differ = false;
        while (end < readings.size() && readings[end].second == readings[i].second) {
            differ = differ || readings[end].value != readings[i].value;
            ++end;
        }
        if (differ) {
            problems.add(Weight::error, [&] {
                return about(trace, file, readings[i].row,
                             "readings that differ at " + sensorClockText(readings[i].second) + ": " +
                                 plainNumber(readings[i].value) + " here, others in rows up to " +
                                 std::to_string(readings[end - 1].row) + "; none of them is used",
                             "keep the one that is right");
            });
        } else {
            same += end - i - 1;
            readings[kept++] = readings[i];
        }
        i = end;
    }
    readings.resize(kept);
    if (same > 0) {
        problems.add(Weight::note, about(trace, file, 0,
                                         std::to_string(same) +
                                             (same == 1 ? " reading that stands" : " readings that stand") +
                                             " twice, with the same time and value, counted once"));
    }
}

}  // namespace

void orderSensorTrace(SensorTrace& trace, std::string_view file, ProblemList& problems) {
    std::vector<SensorReading>& readings = trace.readings;
    std::vector<std::size_t> steps = stepsBack(readings);
    if (2 * steps.size() > readings.size()) {
        std::reverse(readings.begin(), readings.end());
        const std::vector<std::size_t> turned = stepsBack(readings);
        if (turned.size() < steps.size()) {
            steps = turned;
            problems.add(Weight::note, about(trace, file, 0, "the rows run from the newest to the oldest"));
        } else {
            std::reverse(readings.begin(), readings.end());
        }
    }
    if (steps.size() > 4 && steps.size() * 100 > readings.size()) {
        problems.add(
            Weight::note,
            about(trace, file, 0,
                  "the rows are not in order of time and were sorted; whether a clock was set back meanwhile "
                  "cannot be told"));
    } else {
        findClockBack(trace, steps, file, problems);
        if (steps.size() > trace.clockBack.size()) {
            problems.add(Weight::note,
                         about(trace, file, readings[steps.front()].row,
                               "rows that are not in order of time were sorted, the first of them here"));
        }
    }
    if (!steps.empty()) {
        std::stable_sort(readings.begin(), readings.end(), earlier);
    }
    dropDoubled(trace, file, problems);
    std::stable_sort(
        trace.outOfRange.begin(), trace.outOfRange.end(),
        [](const SensorOutOfRange& a, const SensorOutOfRange& b) { return a.second < b.second; });
}

}  // namespace aftercurve
