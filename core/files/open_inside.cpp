#include "core/files/open_inside.h"

#include <fcntl.h>
#include <sys/stat.h>

#include <algorithm>
#include <cerrno>
#include <vector>

#include "core/files/excerpt.h"
#include "core/files/path_inside.h"
#include "core/files/problem_list.h"

namespace aftercurve {

namespace fs = std::filesystem;

namespace {

// No waiting on a pipe, and no following of a link put there since the path was resolved.
constexpr int readingFlags = O_RDONLY | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK | O_NOCTTY;

std::string kindOf(mode_t mode) {
    if (S_ISDIR(mode)) {
        return "a folder";
    }
    if (S_ISFIFO(mode)) {
        return "a pipe";
    }
    return "a device or socket";
}

std::string megabytes(std::uintmax_t bytes) {
    return bytes < (1u << 20) ? std::to_string(bytes) + " bytes" : std::to_string(bytes >> 20) + " MiB";
}

Result<OpenedFile> checkedOpened(FileDescriptor file, const std::string& name, std::uintmax_t maxBytes) {
    struct stat status {};
    if (!file.open() || ::fstat(file.get(), &status) != 0) {
        return cannotRead(name, errno);
    }
    if (!S_ISREG(status.st_mode)) {
        return problemAt(name, 0, {}, quote(name) + " is " + kindOf(status.st_mode) + ", not a file",
                         "name a file in the study folder");
    }
    const auto size = static_cast<std::uintmax_t>(status.st_size);
    if (size > maxBytes) {
        return problemAt(
            name, 0, {},
            "the file has " + megabytes(size) + ", more than the " + megabytes(maxBytes) + " that are read",
            "check that it is the right file, or split it");
    }
    return OpenedFile{std::move(file), size, {}};
}

}  // namespace

std::optional<std::size_t> stagedIndexOf(const fs::path& folder, const Staging& staging,
                                         const fs::path& target) {
    if (!staging.record) {
        return std::nullopt;
    }
    const std::vector<SaveRecordFile>& files = staging.record->files;
    const auto leadsThere = [&](const SaveRecordFile& file) {
        const auto path = resolveForWriting(folder, file.name);
        return path && path.value() == target;
    };
    const auto found = std::find_if(files.begin(), files.end(), leadsThere);
    return found == files.end() ? std::nullopt
                                : std::optional{static_cast<std::size_t>(found - files.begin())};
}

Result<OpenedFile> openInside(const fs::path& folder, const std::string& name, std::uintmax_t maxBytes) {
    const Result<Staging> staging = findStaging(folder);
    if (!staging) {
        return staging.problem();
    }
    if (staging.value().record) {
        const auto target = resolveForWriting(folder, name);
        const auto index = target ? stagedIndexOf(folder, staging.value(), target.value()) : std::nullopt;
        if (index) {
            FileDescriptor staged{
                ::openat(staging.value().folder.get(), stagedFileName(*index).c_str(), readingFlags)};
            if (staged.open() || errno != ENOENT) {
                Result<OpenedFile> opened = checkedOpened(std::move(staged), name, maxBytes);
                if (!opened) {
                    return opened.problem();
                }
                OpenedFile file = std::move(opened).value();
                file.promisedSha256 = staging.value().record->files[*index].sha256;
                return file;
            }
        }
    }
    const Result<fs::path> path = resolveInside(folder, name);
    if (!path) {
        return path.problem();
    }
    return checkedOpened(FileDescriptor{::open(path.value().c_str(), readingFlags)}, name, maxBytes);
}

}  // namespace aftercurve
