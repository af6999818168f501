#include "core/bundle/bundle_folder.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdlib>
#include <system_error>
#include <utility>

#include "core/files/disk_write.h"
#include "core/files/excerpt.h"
#include "core/files/file_descriptor.h"
#include "core/files/problem_list.h"
#include "core/files/read_file.h"
#include "core/files/utf8.h"

namespace aftercurve {

namespace fs = std::filesystem;

namespace {

constexpr int mostFolderDepth = 16;

Problem refused(const std::string& name, std::string what) {
    return problemAt(name, 0, {}, std::move(what), "get the bundle anew from where it is deposited");
}

Problem cannotBeRead(const std::string& name, const std::error_code& error) {
    return problemAt(name, 0, {}, quote(name) + " of the bundle cannot be read: " + error.message(),
                     "check the folder and its permissions");
}

/// Removes the folder written aside unless it was renamed away.
class AsideFolder {
  public:
    explicit AsideFolder(fs::path path) : path_(std::move(path)) {}
    AsideFolder(const AsideFolder&) = delete;
    AsideFolder& operator=(const AsideFolder&) = delete;
    ~AsideFolder() {
        if (!path_.empty()) {
            std::error_code ignored;
            fs::remove_all(path_, ignored);
        }
    }
    void renamed() { path_.clear(); }

  private:
    fs::path path_;
};

/// Writes and flushes one new file; 0 or errno.
int writeNewFile(const fs::path& path, std::string_view bytes) {
    FileDescriptor file{::open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC | O_NOFOLLOW, 0644)};
    if (!file.open()) {
        return errno;
    }
    if (const int failure = writeAll(file.get(), bytes); failure != 0) {
        return failure;
    }
    return ::fsync(file.get()) == 0 && file.close() == 0 ? 0 : errno;
}

int flushAllFolders(const fs::path& root) {
    int failure = flushFolder(root);
    for (const auto& entry : fs::recursive_directory_iterator(root)) {
        if (failure == 0 && entry.is_directory()) {
            failure = flushFolder(entry.path());
        }
    }
    return failure;
}

}  // namespace

Result<std::vector<BundleItem>> bundleFolderItems(const fs::path& folder, const BundleLimits& limits) {
    std::vector<BundleItem> items;
    std::uintmax_t total = 0;
    std::size_t folders = 0;
    std::error_code error;
    fs::recursive_directory_iterator at(folder, fs::directory_options::none, error);
    if (error) {
        return cannotBeRead(folder.string(), error);
    }
    for (; at != fs::recursive_directory_iterator{}; at.increment(error)) {
        const std::string name = at->path().lexically_relative(folder).generic_string();
        if (firstNotUtf8(name) != name.size()) {
            return refused(printable(name), "the folder has a file whose name is not UTF-8");
        }
        const fs::file_status status = at->symlink_status(error);
        if (error) {
            return cannotBeRead(name, error);
        }
        if (status.type() == fs::file_type::directory) {
            if (at.depth() >= mostFolderDepth || ++folders > limits.files) {
                return refused(name, "the folder has more folders in it, or deeper ones, than are read");
            }
            continue;
        }
        if (status.type() != fs::file_type::regular) {
            return refused(name, quote(name) + " is " +
                                     (status.type() == fs::file_type::symlink ? "a symbolic link"
                                                                              : "a device or a pipe") +
                                     ", which no bundle has");
        }
        const std::uintmax_t size = at->file_size(error);
        if (error) {
            return cannotBeRead(name, error);
        }
        total += size;
        if (size > limits.fileBytes || total > limits.totalBytes || items.size() >= limits.files) {
            return refused(name, "the folder has more than the " + std::to_string(limits.files) +
                                     " files or " + megabytes(limits.totalBytes) + " (" +
                                     megabytes(limits.fileBytes) + " a file) that are read");
        }
        items.push_back({name, size});
    }
    if (error) {
        return cannotBeRead(folder.string(), error);
    }
    std::sort(items.begin(), items.end(),
              [](const BundleItem& a, const BundleItem& b) { return a.name < b.name; });
    return items;
}

Result<std::string> readBundleFolderItem(const fs::path& folder, const BundleItem& item) {
    // No waiting on a pipe, no following of a link put there since the folder was listed.
    constexpr int flags = O_RDONLY | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK | O_NOCTTY;
    FileDescriptor file{::open((folder / item.name).c_str(), flags)};
    struct stat status {};
    if (!file.open() || ::fstat(file.get(), &status) != 0) {
        return cannotBeRead(item.name, {errno, std::generic_category()});
    }
    if (!S_ISREG(status.st_mode) || static_cast<std::uintmax_t>(status.st_size) != item.bytes) {
        return refused(item.name, quote(item.name) + " changed while it was read");
    }
    std::string bytes(static_cast<std::size_t>(item.bytes), '\0');
    std::size_t have = 0;
    while (have < bytes.size()) {
        const ssize_t got = ::read(file.get(), bytes.data() + have, bytes.size() - have);
        if (got < 0 && errno == EINTR) {
            continue;
        }
        if (got < 0) {
            return cannotBeRead(item.name, {errno, std::generic_category()});
        }
        if (got == 0) {
            return refused(item.name, quote(item.name) + " changed while it was read");
        }
        have += static_cast<std::size_t>(got);
    }
    return bytes;
}

Result<Done> writeBundleFolder(const fs::path& folder, std::span<const BundleFile> files) {
    std::error_code error;
    // "out/" and "out" are one folder.
    const fs::path target = folder.has_filename() ? folder : folder.parent_path();
    const fs::file_status there = fs::symlink_status(target, error);
    const bool emptyFolder = there.type() == fs::file_type::directory && fs::is_empty(target, error);
    if (there.type() != fs::file_type::not_found && !emptyFolder) {
        return problemAt(target.string(), 0, {},
                         printable(target.string()) + " is there already and is no empty folder",
                         "name a folder that is not there yet");
    }
    const fs::path beside = target.has_parent_path() ? target.parent_path() : fs::path{"."};
    std::string name = (beside / ".aftercurve-bundle-XXXXXX").string();
    if (::mkdtemp(name.data()) == nullptr) {
        return cannotWrite(target, errno);
    }
    AsideFolder aside{name};
    for (const BundleFile& file : files) {
        if (const auto fault = faultOfBundleName(file.name)) {
            return cannotWrite(target,
                               "the name " + quote(file.name) + " cannot stand in a bundle: " + *fault);
        }
        const fs::path path = fs::path{name} / file.name;
        fs::create_directories(path.parent_path(), error);
        if (error) {
            return cannotWrite(target, error.value());
        }
        if (const int failure = writeNewFile(path, file.bytes); failure != 0) {
            return cannotWrite(target, failure);
        }
    }
    // mkdtemp makes a folder that only its owner can read.
    if (::chmod(name.c_str(), 0755) != 0) {
        return cannotWrite(target, errno);
    }
    if (const int failure = flushAllFolders(name); failure != 0) {
        return cannotWrite(target, failure);
    }
    if (::rename(name.c_str(), target.c_str()) != 0) {
        return cannotWrite(target, errno);
    }
    aside.renamed();
    if (const int failure = flushFolder(beside); failure != 0) {
        return cannotWrite(target, failure);
    }
    return Done{};
}

}  // namespace aftercurve
