#pragma once

#include <zip.h>

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/result.h"
#include "core/bundle/bundle_file.h"

namespace aftercurve {

/// The files as a zip archive, in the order given. The same files give the same bytes with the same zip and
/// compression library: every entry has the time 1980-01-01 12:00, the mode 0644 and deflate at its highest
/// level. Fails where memory runs out or a name cannot stand in a bundle.
Result<std::string> zippedBundle(std::span<const BundleFile> files);

/// One file of a bundle that is read.
struct BundleItem {
    std::string name;
    std::uintmax_t bytes = 0;  ///< as declared
};

/// A bundle's zip archive, read from memory; nothing is written to disk. Moves, does not copy.
class BundleArchive {
  public:
    /// `bytes` must outlive the archive. Fails, before anything is unpacked, for: no readable directory, a
    /// directory whose names differ from those that the library gives (a NUL in a name), an archive with text
    /// behind it or of more than 4 GiB, more entries than the limit, a name that faultOfBundleName refuses or
    /// that stands twice, a symbolic link or device, an encrypted entry, sizes and ratios past the limits.
    /// Entries for folders (they end with "/" and are empty) are passed over.
    static Result<BundleArchive> open(std::string_view bytes, const BundleLimits& limits);

    const std::vector<BundleItem>& items() const { return items_; }
    /// Fails where the data are damaged, or more or less comes out than declared.
    Result<std::string> read(std::size_t item) const;

  private:
    struct Closer {
        void operator()(zip_t* archive) const { zip_discard(archive); }
    };

    std::unique_ptr<zip_t, Closer> archive_;
    std::vector<BundleItem> items_;
    std::vector<zip_uint64_t> indices_;  ///< of each item in the archive
};

/// The raw names in the directory of a zip archive, in its order. Nothing where there is no directory at its
/// end that fills its place exactly (zip64, a comment behind it, a cut).
std::optional<std::vector<std::string_view>> zipDirectoryNames(std::string_view bytes, std::size_t most);

}  // namespace aftercurve
