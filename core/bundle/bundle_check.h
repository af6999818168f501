#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "core/base/progress.h"
#include "core/bundle/bundle_file.h"
#include "core/bundle/bundle_manifest.h"
#include "core/bundle/results_comparison.h"

namespace aftercurve {

enum class BundleVerdict {
    same,        ///< every file as the manifest says, and the same findings come of the study
    differs,     ///< every file as the manifest says, but other findings come of the study
    unreadable,  ///< it cannot be read, a file is not as the manifest says, or the study cannot be analysed
};

enum class BundleFault { missing, unknown, otherSize, otherHash, damaged };

/// A file that is not as the manifest says.
struct FaultyFile {
    std::string file;
    BundleFault fault = BundleFault::missing;
    std::string what;  ///< for people
};

/// A table that does not come out, byte for byte, as it stands in the bundle.
struct TableDifference {
    std::string file;
    std::string what;  ///< "row 3, column p: 0.031 -> 0.032", "is not made by this program", ...
};

/// What came of checking a bundle.
struct BundleReport {
    BundleVerdict verdict = BundleVerdict::unreadable;
    std::optional<BundleManifest> manifest;
    std::uintmax_t bytes = 0;                  ///< of the files that were hashed
    std::vector<FaultyFile> files;             ///< sorted by name
    std::vector<Problem> problems;             ///< why it cannot be read or analysed
    std::optional<ResultsComparison> results;  ///< where the study was analysed
    std::vector<TableDifference> tables;
    std::size_t tablesCompared = 0;
    bool stopped = false;
};

/// Reads the bundle (folder or zip file), checks it against its manifest and, where all files are as they
/// should be, analyses its study anew in a temporary folder and compares results.json (compareResults) and
/// tables. Figures, report and recompute/ are checked by their hashes alone. A table counts as different
/// unless its bytes are the same; where the program is another than the one that wrote the bundle, a new
/// table does not count.
BundleReport checkBundle(const std::filesystem::path& bundle, const Progress& progress = {},
                         const BundleLimits& limits = {});

/// The report for people, one finding a line; no control characters of the bundle.
std::string textOf(const BundleReport& report);

/// The report as JSON (docs/formats.md).
std::string jsonOf(const BundleReport& report);

std::string_view wordFor(BundleVerdict verdict);
std::string_view wordFor(BundleFault fault);

}  // namespace aftercurve
