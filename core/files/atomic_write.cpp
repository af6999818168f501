#include "core/files/atomic_write.h"

#include <fcntl.h>
#include <sys/stat.h>

#include <cerrno>
#include <cstdlib>
#include <string>
#include <system_error>

#include "core/files/disk_write.h"
#include "core/files/excerpt.h"
#include "core/files/file_descriptor.h"
#include "core/files/problem_list.h"

namespace aftercurve {

namespace fs = std::filesystem;

namespace {

/// Removes the temporary file unless it was renamed away.
class TemporaryName {
  public:
    explicit TemporaryName(std::string name) : name_(std::move(name)) {}
    TemporaryName(const TemporaryName&) = delete;
    TemporaryName& operator=(const TemporaryName&) = delete;
    ~TemporaryName() {
        if (!name_.empty()) {
            ::unlink(name_.c_str());
        }
    }
    void renamed() { name_.clear(); }

  private:
    std::string name_;
};

}  // namespace

Result<Done> writeAtomically(const fs::path& path, std::string_view bytes) {
    std::error_code error;
    fs::path target = fs::canonical(path, error);  // through a link, so that the link stays one
    if (error) {
        target = path;
    }
    mode_t mode = 0644;
    struct stat status {};
    if (::stat(target.c_str(), &status) == 0) {
        if (!S_ISREG(status.st_mode)) {
            return cannotWrite(path, "it is not a regular file");
        }
        mode = status.st_mode & 07777;
    }
    const fs::path folder = target.has_parent_path() ? target.parent_path() : fs::path{"."};
    std::string name = (folder / ".aftercurve-XXXXXX").string();
    FileDescriptor file{::mkostemp(name.data(), O_CLOEXEC)};
    if (!file.open()) {
        return cannotWrite(path, errno);
    }
    TemporaryName temporary{name};
    if (const int failure = writeAll(file.get(), bytes); failure != 0) {
        return cannotWrite(path, failure);
    }
    if (::fchmod(file.get(), mode) != 0 || ::fsync(file.get()) != 0 || file.close() != 0) {
        return cannotWrite(path, errno);
    }
    if (::rename(name.c_str(), target.c_str()) != 0) {
        return cannotWrite(path, errno);
    }
    temporary.renamed();
    if (const int failure = flushFolder(folder); failure != 0) {
        return problemAt(path.string(), 0, {},
                         printable(path.string()) +
                             " is written, but the folder could not be flushed to disk: " +
                             std::generic_category().message(failure),
                         "check the disk");
    }
    return Done{};
}

}  // namespace aftercurve
