#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>

#include "core/base/result.h"
#include "core/files/file_descriptor.h"
#include "core/files/save_record.h"

namespace aftercurve {

/// A regular file of the study folder, open for reading.
struct OpenedFile {
    FileDescriptor file;
    std::uintmax_t size = 0;
    /// Set where this is the staged copy of a save that was committed and interrupted: what was read counts
    /// only if its SHA-256 is this (else damagedStaging).
    std::string promisedSha256;
};

/// Opens `name` inside `folder` (resolveInside) without waiting on a pipe. Where a save of it was committed
/// and interrupted, its staged copy is opened instead, so that also who may not write sees the save whole.
Result<OpenedFile> openInside(const std::filesystem::path& folder, const std::string& name,
                              std::uintmax_t maxBytes);

/// The staged copy of a file whose target is `target`; empty where the record does not name it, or it stands
/// in its place already.
std::optional<std::size_t> stagedIndexOf(const std::filesystem::path& folder, const Staging& staging,
                                         const std::filesystem::path& target);

}  // namespace aftercurve
