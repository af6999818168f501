#pragma once

#include <sys/types.h>

#include <cstddef>
#include <filesystem>
#include <span>
#include <string>
#include <string_view>

#include "core/base/result.h"
#include "core/files/file_descriptor.h"
#include "core/files/save_record.h"

namespace aftercurve {

/// The record while it is written, in the staging folder.
inline constexpr const char* unfinishedRecordName = "record.part";

/// A study folder, open, and kept for one saver at a time as long as this lives.
struct OpenFolder {
    std::filesystem::path path;
    FileDescriptor descriptor;
};

/// Fails where another program is saving to it at this moment.
Result<OpenFolder> openFolder(const std::filesystem::path& folder);

/// Where a staged file goes.
struct Target {
    std::filesystem::path path;
    bool exists = false;
    mode_t mode = 0;  ///< permissions of the file that is there
};

/// Fails for a name that leaves the folder, what is no regular file, a folder that cannot be written to, and
/// one on another disk, where nothing can be renamed to.
Result<Target> targetFor(const OpenFolder& folder, const std::string& name);

/// SHA-256 of a file; empty where it cannot be read.
std::string hashOfFile(const std::filesystem::path& path);

/// Writes and flushes a new file in the staging folder, with the permissions of `target` (may be null) where
/// that is there; 0 or errno.
int writeStaged(int staging, const char* name, std::string_view bytes, const Target* target);

/// How far putInPlace came.
struct Placing {
    std::size_t renamed = 0;         ///< files put in place by this call
    std::filesystem::path failedAt;  ///< where `error` was met
    int error = 0;                   ///< 0 or errno
    bool renaming = false;           ///< it was a rename that failed, not a flush

    bool done() const { return error == 0; }
};

/// Renames the staged files over their targets, from wherever that stopped the last time, flushes the folders
/// and removes the record.
Placing putInPlace(const OpenFolder& folder, const FileDescriptor& staging, const SaveRecord& record,
                   std::span<const Target> targets);

/// The problem of a save that came past the point of no return and no further than `placing`.
Problem notInPlace(const Placing& placing);

/// Removes the staged files and the staging folder; what others put there stays, and the folder with it.
void clearStaging(const OpenFolder& folder, FileDescriptor staging);

}  // namespace aftercurve
