#include "core/files/read_file.h"

#include <fcntl.h>
#include <sys/stat.h>

#include <algorithm>
#include <cerrno>
#include <system_error>

#include "core/files/excerpt.h"
#include "core/files/file_descriptor.h"
#include "core/files/large_pages.h"
#include "core/files/problem_list.h"

namespace aftercurve {

namespace fs = std::filesystem;

namespace {

constexpr std::size_t chunkBytes = std::size_t{4} << 20;

std::string reasonOf(int error) {
    return std::generic_category().message(error);
}

/// What to do where there is no such file, and where it is something else.
struct FileRemedies {
    const char* absent;
    const char* notRegular;
};

constexpr FileRemedies inFolder{"put it in the study folder or mend its name in study.json",
                                "name a file in the study folder"};
constexpr FileRemedies anywhere{"check the path", "choose a file"};

Problem cannotRead(const std::string& name, int error, const FileRemedies& remedies = inFolder) {
    const bool absent = error == ENOENT || error == ENOTDIR;
    if (absent) {
        return problemAt(name, 0, {}, "the file " + quote(name) + " is not there", remedies.absent);
    }
    return problemAt(name, 0, {}, "the file " + quote(name) + " cannot be read: " + reasonOf(error),
                     "check the file and its permissions");
}

Problem leavesFolder(const std::string& name) {
    return problemAt(name, 0, {}, "the path " + quote(name) + " leads out of the study folder",
                     "put the file in the study folder and name it by a relative path");
}

bool isInside(const fs::path& folder, const fs::path& resolved) {
    const auto ends = std::mismatch(folder.begin(), folder.end(), resolved.begin(), resolved.end());
    return ends.first == folder.end();
}

std::string kindOf(mode_t mode) {
    if (S_ISDIR(mode)) {
        return "a folder";
    }
    if (S_ISFIFO(mode)) {
        return "a pipe";
    }
    return "a device or socket";
}

Result<FileBytes> readRegularFile(const fs::path& path, const std::string& name, std::uintmax_t maxBytes,
                                  const FileRemedies& remedies,
                                  const std::function<bool(std::string_view, std::size_t)>& onChunk) {
    // No waiting on a pipe, and no following of a link put there since the path was resolved.
    const FileDescriptor file{
        ::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK | O_NOCTTY)};
    struct stat status {};
    if (!file.open() || ::fstat(file.get(), &status) != 0) {
        return cannotRead(name, errno, remedies);
    }
    if (!S_ISREG(status.st_mode)) {
        return problemAt(name, 0, {}, quote(name) + " is " + kindOf(status.st_mode) + ", not a file",
                         remedies.notRegular);
    }
    const auto size = static_cast<std::uintmax_t>(status.st_size);
    if (size > maxBytes) {
        return problemAt(
            name, 0, {},
            "the file has " + megabytes(size) + ", more than the " + megabytes(maxBytes) + " that are read",
            "check that it is the right file, or split it");
    }
    // One byte more than expected shows a file that grows while it is read.
    const auto capacity = static_cast<std::size_t>(size) + 1;
    FileBytes bytes{std::make_unique_for_overwrite<char[]>(capacity), 0};
    preferLargePages(bytes.data.get(), capacity);
    while (bytes.size < capacity) {
        const std::size_t wanted = std::min(chunkBytes, capacity - bytes.size);
        const ssize_t got = ::read(file.get(), bytes.data.get() + bytes.size, wanted);
        if (got < 0 && errno == EINTR) {
            continue;
        }
        if (got < 0) {
            return cannotRead(name, errno, remedies);
        }
        if (got == 0) {
            break;
        }
        bytes.size += static_cast<std::size_t>(got);
        if (onChunk && !onChunk(bytes.view(), static_cast<std::size_t>(got))) {
            return bytes;
        }
    }
    if (bytes.size != size) {
        return problemAt(name, 0, {}, "the file " + quote(name) + " changed while it was read",
                         "read it again");
    }
    return bytes;
}

}  // namespace

std::string megabytes(std::uintmax_t bytes) {
    return bytes < (1u << 20) ? std::to_string(bytes) + " bytes" : std::to_string(bytes >> 20) + " MiB";
}

Result<fs::path> resolveInside(const fs::path& folder, const std::string& name) {
    const fs::path relative{name};
    if (name.empty() || hasControlCharacters(name)) {
        return problemAt(name, 0, {}, quote(name) + " cannot be a file name",
                         "name a file in the study folder");
    }
    const fs::path normal = relative.lexically_normal();
    if (relative.is_absolute() || *normal.begin() == "..") {
        return leavesFolder(name);
    }
    std::error_code error;
    const fs::path root = fs::canonical(folder, error);
    if (error) {
        return cannotRead(name, error.value());
    }
    fs::path resolved = fs::canonical(root / normal, error);
    if (error) {
        return cannotRead(name, error.value());
    }
    if (!isInside(root, resolved)) {
        return leavesFolder(name);
    }
    return resolved;
}

Result<FileBytes> readInside(const fs::path& folder, const std::string& name, std::uintmax_t maxBytes,
                             const std::function<bool(std::string_view, std::size_t)>& onChunk) {
    const Result<fs::path> path = resolveInside(folder, name);
    if (!path) {
        return path.problem();
    }
    return readRegularFile(path.value(), name, maxBytes, inFolder, onChunk);
}

Result<FileBytes> readAnywhere(const fs::path& path, std::uintmax_t maxBytes) {
    const std::string name = path.filename().string();
    std::error_code error;
    const fs::path resolved = fs::canonical(path, error);
    if (error) {
        return cannotRead(name, error.value(), anywhere);
    }
    return readRegularFile(resolved, name, maxBytes, anywhere, {});
}

std::uintmax_t sizeInside(const fs::path& folder, const std::string& name) {
    const Result<fs::path> path = resolveInside(folder, name);
    std::error_code error;
    const std::uintmax_t size = path ? fs::file_size(path.value(), error) : 0;
    return error ? 0 : size;
}

}  // namespace aftercurve
