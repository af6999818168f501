#pragma once

#include <cstdint>
#include <filesystem>
#include <string>

#include "core/base/result.h"

namespace aftercurve {

/// Largest file of a study folder.
inline constexpr std::uintmax_t mostFileBytes = std::uintmax_t{1} << 30;

/// SHA-256 (FIPS 180-4) of a regular file inside `folder`, read piece by piece; 64 lower-case hex digits.
/// A save that was interrupted after it was committed is read as committed.
Result<std::string> sha256Inside(const std::filesystem::path& folder, const std::string& name,
                                 std::uintmax_t maxBytes = mostFileBytes);

/// SHA-256 of what is left to read in an open file; empty where it cannot be read (errno says why).
std::string sha256OfOpen(int file);

}  // namespace aftercurve
