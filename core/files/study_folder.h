#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <optional>
#include <string_view>
#include <vector>

#include "core/base/result.h"
#include "core/study/study.h"

namespace aftercurve {

/// Bounds on what is read; a file past one is refused with its size and the bound.
struct ReadLimits {
    std::uintmax_t studyJsonBytes = 4u << 20;
    int studyJsonDepth = 32;
    std::uintmax_t samplesBytes = std::uintmax_t{1} << 30;
    std::size_t lineBytes = 1u << 20;
    std::size_t rows = 20'000'000;
    std::size_t columns = 256;
    std::size_t cells = 200'000'000;  ///< concentrations held in memory, draws × analytes
    std::size_t flaws = 100'000;  ///< concentration cells that cannot be used, before the reading is given up
    std::size_t problemsListed = 200;  ///< further ones are counted in one last line
};

/// A study that could be read, with what was noticed; or none, with the reasons.
struct StudyReading {
    std::optional<Study> study;     ///< absent where the folder cannot be used at all
    std::vector<Problem> problems;  ///< in file order
};

/// Reads study.json and the CSV files it names (docs/formats.md). Two degrees of failure:
///  - no study: study.json missing, too large, too deep, not JSON, a key of the wrong type, a path that
///  leaves the
///    folder (also by a symbolic link), unit unknown, a column missing, a row whose subject, food, visit or
///    time cannot be read, a food that is not declared, a file that is empty, not UTF-8, or past a limit;
///  - study with problems of severity error: a concentration cell that cannot be used (text, decimal comma,
///  negative,
///    not finite). The cell is flagged in Study::flaws and its curve is not estimable; the rest is read.
/// Two draws of one subject, food, visit and time are found later, by curveSeriesOf.
/// Concentrations are converted to the unit declared in study.json where a header gives another ("glucose
/// [mg/dL]"). A save that was interrupted after it was committed is read as committed, with a note; a ledger
/// whose chain is broken, and files changed since the last save, are warnings. `progress` (may be empty) is
/// told the share of bytes read and may answer false to stop.
StudyReading readStudyFolder(const std::filesystem::path& folder, const ReadLimits& limits = {},
                             const std::function<bool(double)>& progress = {});

/// Writes the plan and exclusions of `study` into folder/study.json, as one act (staged_save.h); every other
/// key of the file stays as it is, but for the version, which becomes the current one (migration.h). The text
/// of an older version is kept beside, once.
Result<Done> savePlan(const std::filesystem::path& folder, const Study& study);

}  // namespace aftercurve
