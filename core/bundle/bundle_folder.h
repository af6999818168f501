#pragma once

#include <filesystem>
#include <span>
#include <string>
#include <vector>

#include "core/base/result.h"
#include "core/bundle/bundle_archive.h"
#include "core/bundle/bundle_file.h"

namespace aftercurve {

/// Every file below `folder`, sorted by name, without reading any. No link is followed: a symbolic link, a
/// device, a pipe and a name that is no UTF-8 are failures that name it, as are more files or folders than
/// the limit, deeper nesting than 16, and sizes past the limits. Hidden files are listed like all others.
Result<std::vector<BundleItem>> bundleFolderItems(const std::filesystem::path& folder,
                                                  const BundleLimits& limits);

/// Reads one of them; fails where it is no longer a regular file, or has another size.
Result<std::string> readBundleFolderItem(const std::filesystem::path& folder, const BundleItem& item);

/// Writes the files as a new folder: aside, under a hidden name beside it, flushed, then renamed, so that
/// there is never half a bundle. `folder` must not be there, or be empty. On failure what was written aside
/// is removed.
Result<Done> writeBundleFolder(const std::filesystem::path& folder, std::span<const BundleFile> files);

}  // namespace aftercurve
