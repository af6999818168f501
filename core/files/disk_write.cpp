#include "core/files/disk_write.h"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <system_error>

#include "core/files/excerpt.h"
#include "core/files/file_descriptor.h"
#include "core/files/problem_list.h"

namespace aftercurve {

namespace fs = std::filesystem;

Problem cannotWrite(const fs::path& path, const std::string& reason) {
    return problemAt(
        path.string(), 0, {}, "cannot write " + printable(path.string()) + ": " + reason,
        "check the folder, its permissions and the free space; the file that was there is unchanged");
}

Problem cannotWrite(const fs::path& path, int error) {
    return cannotWrite(path, std::generic_category().message(error));
}

int writeAll(int file, std::string_view bytes) {
    while (!bytes.empty()) {
        const ssize_t written = ::write(file, bytes.data(), bytes.size());
        if (written < 0 && errno == EINTR) {
            continue;
        }
        if (written < 0) {
            return errno;
        }
        bytes.remove_prefix(static_cast<std::size_t>(written));
    }
    return 0;
}

int flushFolder(int folder) {
    return ::fsync(folder) == 0 || errno == EINVAL ? 0 : errno;
}

int flushFolder(const fs::path& folder) {
    const FileDescriptor descriptor{::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC)};
    return descriptor.open() ? flushFolder(descriptor.get()) : errno;
}

}  // namespace aftercurve
