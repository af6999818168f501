#pragma once

#include <span>
#include <string>

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

}  // namespace aftercurve
