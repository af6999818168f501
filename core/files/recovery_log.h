#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/result.h"
#include "core/files/changed_on_disk.h"
#include "core/files/file_descriptor.h"
#include "core/study/study.h"

namespace aftercurve {

/// Hidden file of JSON lines with the edits that are not saved yet.
inline constexpr const char* unsavedLogName = ".aftercurve-unsaved.jsonl";

/// Bounds on the log.
inline constexpr std::uintmax_t mostUnsavedBytes = std::uintmax_t{64} << 20;
inline constexpr std::size_t mostEditBytes = std::size_t{1} << 20;

/// On what the edits were made.
struct RecoveryBase {
    std::string by;
    std::string since;              ///< ISO 8601, given by the caller
    std::vector<InputFile> inputs;  ///< Study::inputs

    bool operator==(const RecoveryBase&) const = default;
};

/// The log while it is written. Moves, does not copy. Closing it leaves the file: it goes by discardRecovery,
/// or with the save that holds its edits (UnsavedLog::discard), after which a new one is begun.
class RecoveryLog {
  public:
    /// Begins a log in `folder`. Fails where one is there already: its edits are to be replayed or discarded
    /// first. The caller holds the folder's lock.
    static Result<RecoveryLog> start(const std::filesystem::path& folder, const RecoveryBase& base);

    /// Goes on with the log that readRecovery gave, after its last whole edit.
    static Result<RecoveryLog> resume(const std::filesystem::path& folder);

    /// Adds one edit, a JSON object that is not looked into, and flushes it to disk before returning. Fails
    /// for what is no JSON object of at most mostEditBytes, a full disk or a full log; the log then holds the
    /// edits before it, and the next may be tried.
    Result<Done> append(std::string_view edit);

  private:
    RecoveryLog(std::filesystem::path path, FileDescriptor file, std::uintmax_t size)
        : path_(std::move(path)), file_(std::move(file)), size_(size) {}

    std::filesystem::path path_;
    FileDescriptor file_;
    std::uintmax_t size_;  ///< of what is whole
};

/// Edits that a program which ended early left behind.
struct Recovery {
    RecoveryBase base;
    std::vector<std::string> edits;    ///< each a JSON object, oldest first
    std::vector<ChangedFile> changed;  ///< files that are not as they were when the edits were made
    std::vector<Problem> notes;        ///< a torn last line, edits that cannot be read, a base that is gone
    std::uintmax_t soundBytes = 0;     ///< length of the log up to its last whole edit
};

/// Reads the log; empty where there is none. A torn last line is dropped with a note; a damaged line ends the
/// edits with a warning; files changed since are named in a warning, and it is for the caller not to replay.
/// Fails where the log is there and cannot be read, is too large, or does not begin with its base.
Result<std::optional<Recovery>> readRecovery(const std::filesystem::path& folder);

/// Removes the log. None there is success.
Result<Done> discardRecovery(const std::filesystem::path& folder);

}  // namespace aftercurve
