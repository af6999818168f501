#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "core/base/result.h"
#include "core/findings/table.h"
#include "core/planning/schedule.h"

namespace aftercurve {

/// The schedule as a table: subject, stratum (where there is one), block, sequence, then a food a period.
Table scheduleTable(const Schedule& schedule);

/// The same for who must not know: the foods by their sealed codes, and neither block nor sequence, which
/// would tell the order of the letters.
Table sealedTable(const Schedule& schedule);

/// code and food.
Table keyTable(const Schedule& schedule);

/// A table of a schedule as a page to print: title, what it was made with (not for the sealed list, whose
/// seed would give the key away), the rows, the caution. One self-contained HTML page without script; all
/// text is escaped.
std::string schedulePage(const Schedule& schedule, const Table& table, bool sealed);

/// schedule.json: every option, the seed, the program's version, and SHA-256 of schedule.csv, so that the
/// schedule can be made again byte for byte.
std::string scheduleRecord(const Schedule& schedule);

struct ScheduleFile {
    std::string name;  ///< with "/" for a folder
    std::string bytes;
};

/// schedule.csv, schedule.html and schedule.json. Sealed: sealed_list.csv and sealed_list.html, and in the
/// folder key/ the key (key.csv) with the three files of the open schedule: to be kept by somebody who does
/// not meet the subjects.
std::vector<ScheduleFile> scheduleFiles(const Schedule& schedule, bool sealed);

/// Writes them below `folder`, which is made where it is missing; each file is written atomically. Returns
/// the paths relative to it. The first failure stops it and names the path.
Result<std::vector<std::string>> writeSchedule(const Schedule& schedule, const std::filesystem::path& folder,
                                               bool sealed);

}  // namespace aftercurve
