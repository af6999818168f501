#pragma once

#include <cstddef>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "core/base/result.h"
#include "core/files/file_descriptor.h"

namespace aftercurve {

/// Hidden folder in which a save is prepared, inside the study folder.
inline constexpr const char* stagingName = ".aftercurve-save";
/// The record in it. Once it stands under this name the save is committed.
inline constexpr const char* saveRecordName = "record.json";

/// One file of a committed save. Its staged copy is stagedFileName(i), i being its place in the record.
struct SaveRecordFile {
    std::string name;      ///< relative to the study folder
    std::string sha256;    ///< of the new bytes
    std::string replaced;  ///< SHA-256 of the file that the save replaces; empty where there was none
};

struct SaveRecord {
    std::vector<SaveRecordFile> files;
    bool discardsUnsaved = false;  ///< the log of unsaved edits ends with this save
};

/// The staging folder as found: `folder` is not open where there is none; `record` is there where a save was
/// committed and not finished.
struct Staging {
    FileDescriptor folder;
    std::optional<SaveRecord> record;
};

/// "file-0", "file-1", ...
std::string stagedFileName(std::size_t index);

/// The record as JSON text. Names must be UTF-8.
std::string saveRecordText(const SaveRecord& record);

/// Looks for an interrupted save; writes nothing. A staging folder that is a link or no folder, a record that
/// is larger than 1 MiB, no JSON, of a newer version, or names a file outside the folder or more than 1000
/// files, is a problem.
Result<Staging> findStaging(const std::filesystem::path& folder);

/// A staged copy whose bytes are not those that the record promises.
Problem damagedStaging(const std::string& name);

}  // namespace aftercurve
