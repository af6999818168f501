#include "core/files/read_file.h"

#include <unistd.h>

#include <algorithm>
#include <cerrno>

#include "core/files/excerpt.h"
#include "core/files/large_pages.h"
#include "core/files/open_inside.h"
#include "core/files/problem_list.h"
#include "core/files/sha256.h"

namespace aftercurve {

namespace fs = std::filesystem;

namespace {

constexpr std::size_t chunkBytes = std::size_t{4} << 20;

}  // namespace

Result<FileBytes> readInside(const fs::path& folder, const std::string& name, std::uintmax_t maxBytes,
                             const std::function<bool(std::string_view, std::size_t)>& onChunk) {
    const Result<OpenedFile> opened = openInside(folder, name, maxBytes);
    if (!opened) {
        return opened.problem();
    }
    const FileDescriptor& file = opened.value().file;
    const std::uintmax_t size = opened.value().size;
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
            return cannotRead(name, errno);
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
    const std::string& promised = opened.value().promisedSha256;
    if (!promised.empty() && promised != sha256Hex(bytes.view())) {
        return damagedStaging(name);
    }
    return bytes;
}

std::uintmax_t sizeInside(const fs::path& folder, const std::string& name) {
    const Result<OpenedFile> opened = openInside(folder, name, UINTMAX_MAX);
    return opened ? opened.value().size : 0;
}

}  // namespace aftercurve
