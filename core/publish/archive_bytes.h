#pragma once

#include <filesystem>
#include <span>
#include <string>
#include <vector>

#include "core/base/result.h"

namespace aftercurve {

/// One part of an archive that is made in memory.
struct ArchivePart {
    std::string name;  ///< with '/' between folders
    std::string bytes;
    bool stored = false;  ///< not compressed, as the first part of an OpenDocument must be
};

/// A zip archive with these parts in this order, dated 1980-01-01 (the format's first day), so that the same
/// parts give the same bytes on any day and in any time zone. Fails where memory ends.
Result<std::string> archiveBytes(std::span<const ArchivePart> parts);

/// The parts of an archive that this program has just made, in its order, expanded. No bound on their size:
/// not for files of others (see core/intake/workbook_archive.h).
Result<std::vector<ArchivePart>> archiveParts(const std::filesystem::path& file);

}  // namespace aftercurve
