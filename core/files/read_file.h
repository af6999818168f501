#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <string>
#include <string_view>

#include "core/base/result.h"
#include "core/files/path_inside.h"

namespace aftercurve {

/// The bytes of one file, read in one go.
struct FileBytes {
    std::unique_ptr<char[]> data;
    std::size_t size = 0;

    std::string_view view() const { return {data.get(), size}; }
};

/// Reads a regular file of at most `maxBytes` inside `folder`. The size is checked before a byte is read.
/// A save that was interrupted after it was committed is read as committed (save_record.h).
/// `onChunk` (may be empty) sees what has been read so far after every few MB, with the size of the newest
/// piece; where it answers false the reading ends early and the bytes so far are given.
Result<FileBytes> readInside(
    const std::filesystem::path& folder, const std::string& name, std::uintmax_t maxBytes,
    const std::function<bool(std::string_view soFar, std::size_t newest)>& onChunk = {});

/// Size in bytes for a progress bar; 0 where it cannot be told.
std::uintmax_t sizeInside(const std::filesystem::path& folder, const std::string& name);

}  // namespace aftercurve
