#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/result.h"
#include "core/files/file_hash.h"
#include "core/files/read_file.h"

namespace aftercurve {

/// A file as it is to be, whole.
struct NewFile {
    std::string name;        ///< relative to the study folder; may be new, its own folder must be there
    std::string_view bytes;  ///< must outlive the call
};

/// What becomes of the log of unsaved edits (recovery_log.h) when the save is committed.
enum class UnsavedLog { keep, discard };

/// Writes several files of one folder as one act: a reader of this program, also after a crash at any moment,
/// sees all of them old or all of them new.
///  1. An interrupted save that was committed before is finished first (finishInterruptedSave).
///  2. Every file is written and flushed under the hidden folder .aftercurve-save.
///  3. A record of names and hashes is renamed into place there and flushed: the point of no return.
///  4. Each staged file is renamed over its target, the folders are flushed, the record is removed.
/// A symbolic link stays one and its target, which must be inside the folder, is replaced. A file that was
/// there keeps its permissions; a new one gets those that the umask leaves. At most 1000 files.
/// Errors: a name that leaves the folder or stands twice, a target that is no regular file or on another
/// disk, a read-only folder, a full disk, another program that is saving. Up to step 3 the old files stand
/// and the hidden folder is gone. When step 4 is cut short after the first rename, the problem says that the
/// save is committed: this program reads the new files, and the next save or finishInterruptedSave puts them
/// in place. The caller should hold the lock of the folder (folder_lock.h); two savers at the same moment are
/// kept apart all the same.
Result<Done> saveTogether(const std::filesystem::path& folder, std::span<const NewFile> files,
                          UnsavedLog unsaved = UnsavedLog::keep);

enum class InterruptedSave {
    none,       ///< nothing was found
    finished,   ///< a committed save was carried through
    discarded,  ///< one that had not been committed was removed; the old files stand
};

struct FinishedSave {
    InterruptedSave found = InterruptedSave::none;
    std::vector<Problem> notes;  ///< what a person should know, e.g. a file that was changed meanwhile
};

/// Carries through, or removes, what an interrupted save left. May be interrupted and run again. A file that
/// another program changed between the interruption and now is kept beside the new one, under its name with
/// ".changed-outside-" and the first digits of its hash. Nothing is changed where a staged copy is damaged or
/// the record names what it must not.
Result<FinishedSave> finishInterruptedSave(const std::filesystem::path& folder);

/// The committed bytes of `name` where an interrupted save holds them; empty where there is nothing to see
/// through. Writes nothing. readInside and sha256Inside use it by themselves.
Result<std::optional<FileBytes>> stagedBytesFor(const std::filesystem::path& folder, const std::string& name,
                                                std::uintmax_t maxBytes = mostFileBytes);

}  // namespace aftercurve
