#pragma once

#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "core/base/result.h"
#include "core/bundle/bundle_archive.h"
#include "core/bundle/bundle_file.h"
#include "core/files/read_file.h"

namespace aftercurve {

/// A bundle that is read, whether folder or zip file. Moves, does not copy.
class BundleReader {
  public:
    /// Fails where it is not there or bundleFolderItems or BundleArchive::open refuse it.
    static Result<BundleReader> open(const std::filesystem::path& path, const BundleLimits& limits = {});

    const std::vector<BundleItem>& items() const { return items_; }
    /// The place of a name among the items; nothing where it is not there.
    std::optional<std::size_t> find(std::string_view name) const;
    Result<std::string> read(std::size_t item) const;

  private:
    std::filesystem::path folder_;  ///< empty for a zip file
    std::unique_ptr<FileBytes> bytes_;
    std::optional<BundleArchive> archive_;
    std::vector<BundleItem> items_;
};

/// True for a path that ends with ".zip", in any case: then a bundle is one file, else a folder.
bool isZipPath(const std::filesystem::path& path);

/// Writes the bundle as folder (writeBundleFolder) or, atomically, as zip file, in place of one that is
/// there. A zip file is read back before it is written, so that none is made that would be refused.
Result<Done> writeBundle(const std::filesystem::path& path, std::span<const BundleFile> files);

}  // namespace aftercurve
