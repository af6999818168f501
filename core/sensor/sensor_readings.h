#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "core/base/problem.h"
#include "core/base/progress.h"
#include "core/intake/mapping.h"
#include "core/intake/source.h"

namespace aftercurve {

/// Most rows of a file of readings (about 20 sensors for a year at one reading in 5 min).
inline constexpr std::size_t mostSensorRows = 2'000'000;

/// Readings outside are reported and kept. Wider than the ranges that sensors report in (about 2 to
/// 28 mmol/L; from memory), so that what lies outside is no reading of such a sensor in this unit.
inline constexpr double lowestSensorMmolPerL = 1.0;
inline constexpr double highestSensorMmolPerL = 40.0;

/// One reading of glucose.
struct SensorReading {
    std::int64_t second = 0;  ///< local clock as written, since 1970-01-01 00:00
    double value = 0.0;       ///< in SensorReadings::unit; finite, above 0
    std::uint32_t row = 0;    ///< line in the file

    bool operator==(const SensorReading&) const = default;
};

/// A time at which the sensor reported that glucose lay outside its range. There is no number for it.
struct SensorOutOfRange {
    std::int64_t second = 0;
    bool high = false;  ///< above the range, else below
    std::uint32_t row = 0;

    bool operator==(const SensorOutOfRange&) const = default;
};

/// A stretch of local time that the clock showed twice, since it was set back.
struct SensorClockBack {
    std::int64_t from = 0;  ///< where the clock was set back to
    std::int64_t to = 0;    ///< what it had shown just before

    bool operator==(const SensorClockBack&) const = default;
};

/// All readings of one subject, in order of time; no two at one time.
struct SensorTrace {
    std::string subject;
    std::vector<SensorReading> readings;
    std::vector<SensorOutOfRange> outOfRange;
    std::vector<SensorClockBack> clockBack;
};

struct SensorReadings {
    std::string file;
    std::string sha256;  ///< of its bytes
    std::string unit;
    std::size_t rows = 0;             ///< of data, read or not
    std::vector<SensorTrace> traces;  ///< subjects as first met
};

/// How a file of readings is to be understood. Names of columns that are empty are guessed.
struct SensorReadOptions {
    std::string subjectColumn = {};
    std::string timeColumn = {};
    std::string valueColumn = {};
    std::string unitColumn = {};
    std::optional<DateOrder> dateOrder = {};  ///< of dates that do not begin with the year
    std::optional<char> decimalMark = {};     ///< absent: as the file looks
    /// Unit of the readings in memory; also that of the file where neither its header nor a column says.
    /// Empty: the file's.
    std::string unit = {};
    std::size_t mostRows = mostSensorRows;
    std::size_t problemsListed = 200;
};

struct SensorReadingsRead {
    std::optional<SensorReadings> readings;  ///< absent where the file cannot be used, or on a stop
    std::vector<Problem> problems;
    bool stopped = false;
};

/// Reads a delimited text with one reading a row: subject, time stamp, glucose, perhaps unit. Rows come in
/// any order; a file that runs from the newest to the oldest is turned. The local clock is taken as written.
///
/// Missing: an empty cell or NA (counted in a note); LOW, HIGH and '<2.2', '>22.2' (SensorOutOfRange, a
/// note); none of these is ever a number. Left out, each an error: a row without subject or time, a value
/// that is no number or not above 0, readings of one subject that differ at one time (all of them). Equal
/// readings at one time are one (note). Readings outside the plausible bounds are kept (warning). Where the
/// clock goes back by at most 3 h and runs on from there, the doubled stretch is kept in
/// SensorTrace::clockBack (warning). No readings: no header, no unit, an unknown unit, day and month in an
/// order that is not stated, no row that can be used, more than `mostRows` rows.
SensorReadingsRead readSensorReadings(const Source& source, const SensorReadOptions& options = {},
                                      const Progress& progress = {});

/// Number of readings of all subjects.
std::size_t readingCount(const SensorReadings& readings);

}  // namespace aftercurve
