#pragma once

#include <sys/types.h>

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>

#include "core/base/problem.h"
#include "core/files/file_descriptor.h"

namespace aftercurve {

/// Hidden file in the study folder that holds the lock, and says who has it.
inline constexpr const char* lockFileName = ".aftercurve-lock";

/// Who holds a folder.
struct LockHolder {
    std::int64_t pid = 0;  ///< of the process, on `host`
    std::string host;
    std::string program;
    std::string since;  ///< as given to lockFolder, ISO 8601

    bool operator==(const LockHolder&) const = default;
};

/// A study folder that is open for editing here and nowhere else. Moves, does not copy. The system frees the
/// lock when the process ends, however it ends. A child made by fork shares the lock until it ends or starts
/// another program, but does not free it.
class FolderLock {
  public:
    FolderLock(std::filesystem::path file, FileDescriptor descriptor);
    FolderLock(FolderLock&& other) noexcept = default;
    FolderLock& operator=(FolderLock&& other) noexcept;
    ~FolderLock();

  private:
    void release();

    std::filesystem::path file_;
    FileDescriptor descriptor_;
    pid_t owner_;
};

enum class LockOutcome {
    locked,         ///< `lock` is there
    heldElsewhere,  ///< `holder` where it could be read; `problem` names it
    readOnly,       ///< nothing can be written here, so that no lock is possible and none is needed to look
    failed,         ///< the file system has no locks, the lock file is a link, ...
};

struct LockAnswer {
    LockOutcome outcome = LockOutcome::failed;
    std::optional<FolderLock> lock;
    std::optional<LockHolder> holder;
    std::optional<Problem> problem;  ///< there unless locked; a note where read-only
};

/// Locks `folder` for editing (flock on .aftercurve-lock, without waiting). `program` and `since` (ISO 8601,
/// given by the caller) are written into it with the process and host, for whoever finds the folder locked. A
/// lock file that a killed program left is taken over. On a network disk whose server does not share such
/// locks two hosts do not see each other.
LockAnswer lockFolder(const std::filesystem::path& folder, const std::string& program,
                      const std::string& since);

}  // namespace aftercurve
