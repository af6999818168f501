#pragma once

#include <cstddef>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/problem.h"
#include "core/base/result.h"
#include "core/planning/schedule.h"

namespace aftercurve {

struct GivenSubject {
    std::string subject;
    std::string stratum;
    std::vector<std::optional<std::size_t>> foods;  ///< by period; index into GivenSchedule::foods
    std::size_t row = 0;                            ///< line of the file where it begins

    bool operator==(const GivenSubject&) const = default;
};

/// A schedule from wherever: who eats what in which period.
struct GivenSchedule {
    std::vector<std::string> foods;  ///< in the order met
    std::size_t periods = 0;
    std::vector<GivenSubject> subjects;  ///< in the order met

    bool operator==(const GivenSchedule&) const = default;
};

GivenSchedule givenFrom(const Schedule& schedule);

/// What came of reading: a schedule, or none and at least one error.
struct GivenReading {
    std::optional<GivenSchedule> schedule;
    std::vector<Problem> problems;
};

/// Reads CSV text in one of two forms (docs/formats.md, Schedule): one row a subject with columns subject,
/// period_1, period_2, ... and where there is one stratum; or one row a visit with subject, period, food, as
/// visits.csv has them. An empty food is a visit that is not planned. Refused: a missing column, a gap in
/// the numbers of the periods, a subject (in the second form: its period) that stands twice, a period that is
/// no whole number from 1 to 100, more than 1000 foods, no row. `file` names it in messages.
GivenReading readSchedule(std::string_view text, std::string_view file);

/// The same from a file of at most 16 MiB.
GivenReading readScheduleFile(const std::filesystem::path& path);

}  // namespace aftercurve
