#include "core/files/save_steps.h"

#include <dirent.h>
#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <chrono>
#include <system_error>
#include <thread>
#include <vector>

#include "core/files/disk_write.h"
#include "core/files/excerpt.h"
#include "core/files/file_hash.h"
#include "core/files/path_inside.h"
#include "core/files/problem_list.h"
#include "core/files/recovery_log.h"

namespace aftercurve {

namespace fs = std::filesystem;

namespace {

constexpr int mostTries = 50;

/// Names in the staging folder that this program gives.
bool isOwnName(const std::string& name) {
    return name == saveRecordName || name == unfinishedRecordName ||
           (name.starts_with("file-") && name.find_first_not_of("0123456789", 5) == std::string::npos);
}

}  // namespace

Result<OpenFolder> openFolder(const fs::path& folder) {
    FileDescriptor descriptor{::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC)};
    if (!descriptor.open()) {
        return cannotWrite(folder, errno);
    }
    // Where a file system has no such locks, the lock of the folder (folder_lock.h) must do. A save takes
    // moments, so it is worth a little waiting.
    int tries = 0;
    while (::flock(descriptor.get(), LOCK_EX | LOCK_NB) != 0 && errno == EWOULDBLOCK) {
        if (++tries > mostTries) {
            return cannotWrite(folder, "another program is saving to it at this moment");
        }
        std::this_thread::sleep_for(std::chrono::milliseconds{10});
    }
    return OpenFolder{folder, std::move(descriptor)};
}

Problem notInPlace(const Placing& placing) {
    const std::string path = placing.failedAt.string();
    const std::string reason = std::generic_category().message(placing.error);
    if (!placing.renaming) {
        return problemAt(path, 0, {},
                         printable(path) + " is written, but could not be flushed to disk: " + reason,
                         "check the disk");
    }
    return problemAt(
        path, 0, {},
        "the save is committed, but " + printable(path) + " could not be put in its place: " + reason,
        "this program reads the saved version; check the folder and save again to finish it");
}

void clearStaging(const OpenFolder& folder, FileDescriptor staging) {
    std::vector<std::string> names;
    if (DIR* entries = ::fdopendir(::dup(staging.get())); entries != nullptr) {
        ::rewinddir(entries);
        while (const dirent* entry = ::readdir(entries)) {
            if (isOwnName(entry->d_name)) {
                names.emplace_back(entry->d_name);
            }
        }
        ::closedir(entries);
    }
    for (const std::string& name : names) {
        ::unlinkat(staging.get(), name.c_str(), 0);
    }
    ::unlinkat(folder.descriptor.get(), stagingName, AT_REMOVEDIR);
}

std::string hashOfFile(const fs::path& path) {
    const FileDescriptor file{::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK)};
    return file.open() ? sha256OfOpen(file.get()) : std::string{};
}

Result<Target> targetFor(const OpenFolder& folder, const std::string& name) {
    const auto path = resolveForWriting(folder.path, name);
    if (!path) {
        return path.problem();
    }
    Target target{path.value(), false, 0};
    struct stat status {};
    if (::lstat(target.path.c_str(), &status) == 0) {
        if (!S_ISREG(status.st_mode)) {
            return cannotWrite(target.path, "it is not a regular file");
        }
        target.exists = true;
        target.mode = status.st_mode & 0777;
    }
    const fs::path parent = target.path.parent_path();
    struct stat own {};
    if (::faccessat(AT_FDCWD, parent.c_str(), W_OK | X_OK, AT_EACCESS) != 0 ||
        ::stat(parent.c_str(), &status) != 0 || ::fstat(folder.descriptor.get(), &own) != 0) {
        return cannotWrite(target.path, errno);
    }
    if (status.st_dev != own.st_dev) {
        return cannotWrite(target.path, "it is on another disk than the study folder");
    }
    return target;
}

int writeStaged(int staging, const char* name, std::string_view bytes, const Target* target) {
    FileDescriptor file{::openat(staging, name, O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, 0666)};
    if (!file.open()) {
        return errno;
    }
    if (const int failure = writeAll(file.get(), bytes); failure != 0) {
        return failure;
    }
    const bool keepsMode = target != nullptr && target->exists;
    if (keepsMode && ::fchmod(file.get(), target->mode) != 0) {
        return errno;
    }
    return ::fsync(file.get()) == 0 && file.close() == 0 ? 0 : errno;
}

Placing putInPlace(const OpenFolder& folder, const FileDescriptor& staging, const SaveRecord& record,
                   std::span<const Target> targets) {
    Placing placing;
    std::vector<fs::path> folders;
    for (std::size_t i = 0; i < targets.size(); ++i) {
        const fs::path& path = targets[i].path;
        if (::renameat(staging.get(), stagedFileName(i).c_str(), AT_FDCWD, path.c_str()) == 0) {
            ++placing.renamed;
        } else if (errno != ENOENT) {  // a staged copy that is gone is in its place already
            placing.error = errno;
            placing.failedAt = path;
            placing.renaming = true;
            return placing;
        }
        if (std::find(folders.begin(), folders.end(), path.parent_path()) == folders.end()) {
            folders.push_back(path.parent_path());
        }
    }
    if (record.discardsUnsaved) {
        ::unlinkat(folder.descriptor.get(), unsavedLogName, 0);
    }
    folders.push_back(folder.path);
    for (const fs::path& one : folders) {
        placing.failedAt = one;
        if (placing.error = flushFolder(one); placing.error != 0) {
            return placing;
        }
    }
    // Only now, as the renames are on disk, may the record go.
    placing.failedAt = folder.path / stagingName;
    const bool gone = ::unlinkat(staging.get(), saveRecordName, 0) == 0 || errno == ENOENT;
    placing.error = gone ? flushFolder(staging.get()) : errno;
    return placing;
}

}  // namespace aftercurve
