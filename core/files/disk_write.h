#pragma once

#include <filesystem>
#include <string>
#include <string_view>

#include "core/base/problem.h"

namespace aftercurve {

/// "cannot write PATH: reason"; the remedy says that the old file stands.
Problem cannotWrite(const std::filesystem::path& path, const std::string& reason);
/// The same with the system's words for `error`, an errno.
Problem cannotWrite(const std::filesystem::path& path, int error);

/// Writes all of `bytes` to an open file; 0 or errno.
int writeAll(int file, std::string_view bytes);

/// Flushes an open folder, so that renames and new names in it last; 0 or errno. Some file systems cannot
/// flush a folder and say so (EINVAL): not a failure.
int flushFolder(int folder);
int flushFolder(const std::filesystem::path& folder);

}  // namespace aftercurve
