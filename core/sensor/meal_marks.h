#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "core/base/problem.h"
#include "core/intake/mapping.h"
#include "core/intake/source.h"

namespace aftercurve {

inline constexpr std::size_t mostMealMarks = 100'000;

/// The start of one meal.
struct MealMark {
    std::string subject;
    std::int64_t second = 0;  ///< of the local clock, as SensorReading::second
    std::string food;
    int visit = 1;
    std::uint32_t row = 0;

    bool operator==(const MealMark&) const = default;
};

struct MealMarks {
    std::string file;
    std::string sha256;
    std::vector<MealMark> marks;  ///< by subject as first met, then by time
};

struct MealMarkOptions {
    std::string subjectColumn = {};
    std::string timeColumn = {};
    std::string foodColumn = {};
    std::string visitColumn = {};
    std::optional<DateOrder> dateOrder = {};
    std::size_t problemsListed = 200;
};

struct MealMarksRead {
    std::optional<MealMarks> marks;
    std::vector<Problem> problems;
};

/// Reads a delimited text with one meal a row: subject, time stamp, food, perhaps visit. Without a visit
/// column (or cell) the meals of one food and subject are numbered by time, past the visits that are given.
/// Left out, each an error: a row without subject, time or food, a visit that is no whole number from 1, a
/// second meal at the same time, a second meal of the same subject, food and visit. A file without any meal
/// gives an empty list and a warning.
MealMarksRead readMealMarks(const Source& source, const MealMarkOptions& options = {});

}  // namespace aftercurve
