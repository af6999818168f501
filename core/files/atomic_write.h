#pragma once

#include <filesystem>
#include <string_view>

#include "core/base/result.h"

namespace aftercurve {

/// Writes `bytes` to `path` so that a reader sees the old file or the whole new one, also after a crash: a
/// temporary file beside it is written, flushed to disk and renamed over it. On failure the old file stands
/// and the temporary one is removed; the problem names the path and the system's reason (disk full, read-only
/// folder, ...).
Result<Done> writeAtomically(const std::filesystem::path& path, std::string_view bytes);

}  // namespace aftercurve
