#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace aftercurve {

/// One file of a bundle: its path from the top of the bundle, parts divided by "/", and its bytes.
struct BundleFile {
    std::string name;
    std::string bytes;
};

/// Bounds on a bundle that is read; one past them is refused.
struct BundleLimits {
    std::size_t files = 10'000;
    std::uintmax_t fileBytes = std::uintmax_t{1} << 30;
    std::uintmax_t totalBytes = std::uintmax_t{3} << 30;    ///< of all files, unpacked
    std::uintmax_t archiveBytes = std::uintmax_t{2} << 30;  ///< of the zip file
    /// From `ratioFrom` bytes on, a part of a zip file may unpack to at most `ratio` times its packed size.
    /// Tables of repeated numbers shrink to a hundredth; deflate cannot pass a 1032nd.
    std::uintmax_t ratio = 500;
    std::uintmax_t ratioFrom = std::uintmax_t{4} << 20;
    std::uintmax_t manifestBytes = std::uintmax_t{8} << 20;
};

inline constexpr const char* bundleManifestName = "manifest.json";
inline constexpr const char* bundleStudyFolder = "study/";
inline constexpr const char* bundleResultsName = "findings/results.json";
inline constexpr const char* bundleTablesFolder = "tables/";

/// Why `name` cannot be the name of a file in a bundle; nothing where it can. It must be a relative path of
/// at most 500 bytes and 16 parts, UTF-8 without control characters (so no NUL), backslash or colon; no part
/// is empty, begins with "." (hidden files, "." and "..") or ends with a blank or ".".
std::optional<std::string> faultOfBundleName(std::string_view name);

/// True for a name that stands in that folder of the bundle ("tables/").
inline bool isInBundleFolder(std::string_view name, std::string_view folder) {
    return name.size() > folder.size() && name.starts_with(folder);
}

}  // namespace aftercurve
