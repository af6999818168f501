#include "core/files/folder_lock.h"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <system_error>
#include <utility>

#include "core/files/disk_write.h"
#include "core/files/excerpt.h"
#include "core/files/json_object.h"
#include "core/files/problem_list.h"
#include "core/files/text_check.h"

namespace aftercurve {

namespace fs = std::filesystem;

namespace {

constexpr std::size_t mostBytes = 4096;
constexpr int mostTries = 20;

std::string hostName() {
    std::array<char, 256> name{};
    return ::gethostname(name.data(), name.size() - 1) == 0 ? std::string{name.data()} : std::string{};
}

std::string textFor(const LockHolder& holder) {
    const Json root{
        {"pid", holder.pid}, {"host", holder.host}, {"program", holder.program}, {"since", holder.since}};
    return root.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n";
}

/// What the lock file says; nothing where it is empty or not ours.
std::optional<LockHolder> holderIn(int file) {
    std::array<char, mostBytes> bytes{};
    const ssize_t size = ::pread(file, bytes.data(), bytes.size(), 0);
    if (size <= 0) {
        return std::nullopt;
    }
    const auto text = checkedText({bytes.data(), static_cast<std::size_t>(size)}, lockFileName);
    if (!text) {
        return std::nullopt;
    }
    const auto json = parseJson(text.value(), lockFileName, 2);
    if (!json || !json.value().is_object()) {
        return std::nullopt;
    }
    ProblemList problems{1};
    const JsonObject root{json.value(), "", lockFileName, problems};
    LockHolder holder{root.wholeNumber("pid").value_or(0), root.text("host").value_or(""),
                      root.text("program").value_or(""), root.text("since").value_or("")};
    return problems.failed() ? std::nullopt : std::optional{holder};
}

LockAnswer heldBy(const fs::path& folder, std::optional<LockHolder> holder) {
    std::string who = "another program";
    if (holder) {
        who = shortened(holder->program.empty() ? who : holder->program) + " (process " +
              std::to_string(holder->pid) + " on " + shortened(holder->host) + ")";
        who += holder->since.empty() ? "" : " since " + shortened(holder->since);
    }
    LockAnswer answer;
    answer.outcome = LockOutcome::heldElsewhere;
    answer.holder = std::move(holder);
    answer.problem =
        problemAt(lockFileName, 0, {},
                  "the study folder " + printable(folder.string()) + " is open for editing in " + who,
                  "close it there, or open the study without editing");
    return answer;
}

LockAnswer readOnly(const fs::path& folder, int error) {
    LockAnswer answer;
    answer.outcome = LockOutcome::readOnly;
    answer.problem =
        problemAt(lockFileName, 0, {},
                  "nothing can be written to the study folder " + printable(folder.string()) + " (" +
                      std::generic_category().message(error) + "); the study can be looked at, not edited",
                  "copy the folder to a place where you may write in order to edit it");
    answer.problem->severity = Severity::note;
    return answer;
}

LockAnswer failed(const fs::path& folder, const std::string& reason) {
    LockAnswer answer;
    answer.problem = problemAt(
        lockFileName, 0, {},
        "the study folder " + printable(folder.string()) + " cannot be locked for editing: " + reason,
        "make sure that nobody else edits it, or copy it to a local disk");
    return answer;
}

LockAnswer failed(const fs::path& folder, int error) {
    return failed(folder, std::generic_category().message(error));
}

bool isStill(const FileDescriptor& descriptor, const fs::path& file) {
    struct stat open {};
    struct stat named {};
    return ::fstat(descriptor.get(), &open) == 0 && ::lstat(file.c_str(), &named) == 0 &&
           open.st_ino == named.st_ino && open.st_dev == named.st_dev;
}

}  // namespace

FolderLock::FolderLock(fs::path file, FileDescriptor descriptor)
    : file_(std::move(file)), descriptor_(std::move(descriptor)), owner_(::getpid()) {}

FolderLock& FolderLock::operator=(FolderLock&& other) noexcept {
    std::swap(file_, other.file_);
    std::swap(descriptor_, other.descriptor_);
    std::swap(owner_, other.owner_);
    return *this;
}

FolderLock::~FolderLock() {
    release();
}

void FolderLock::release() {
    // Removed while locked: who waits for this name sees that it is another file and tries again.
    if (descriptor_.open() && owner_ == ::getpid() && isStill(descriptor_, file_)) {
        ::unlink(file_.c_str());
    }
    descriptor_.close();
}

LockAnswer lockFolder(const fs::path& folder, const std::string& program, const std::string& since) {
    std::error_code error;
    const fs::path root = fs::canonical(folder, error);
    if (error) {
        return failed(folder, error.value());
    }
    if (::faccessat(AT_FDCWD, root.c_str(), W_OK | X_OK, AT_EACCESS) != 0) {
        return readOnly(folder, errno);
    }
    const fs::path file = root / lockFileName;
    for (int i = 0; i < mostTries; ++i) {
        FileDescriptor descriptor{
            ::open(file.c_str(), O_RDWR | O_CREAT | O_NOFOLLOW | O_NONBLOCK | O_NOCTTY | O_CLOEXEC, 0666)};
        bool writable = descriptor.open();
        if (!writable && errno == EACCES) {  // another user's; it can still be locked
            descriptor = FileDescriptor{
                ::open(file.c_str(), O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_NOCTTY | O_CLOEXEC)};
        }
        struct stat status {};
        if (!descriptor.open() || ::fstat(descriptor.get(), &status) != 0) {
            return errno == EROFS ? readOnly(folder, errno)
                                  : failed(folder, errno == ELOOP ? "the lock file is a symbolic link"
                                                                  : std::generic_category().message(errno));
        }
        if (!S_ISREG(status.st_mode)) {
            return failed(folder, "the lock file is not a regular file");
        }
        if (::flock(descriptor.get(), LOCK_EX | LOCK_NB) != 0) {
            return errno == EWOULDBLOCK ? heldBy(folder, holderIn(descriptor.get())) : failed(folder, errno);
        }
        if (!isStill(descriptor, file)) {
            continue;  // its holder has just removed it
        }
        if (!writable) {  // nobody's: make one of our own
            if (::unlink(file.c_str()) != 0) {
                return failed(folder, errno);
            }
            continue;
        }
        const std::string text = textFor({::getpid(), hostName(), program, since});
        if (::ftruncate(descriptor.get(), 0) != 0) {
            return failed(folder, errno);
        }
        if (const int failure = writeAll(descriptor.get(), text); failure != 0) {
            return failed(folder, failure);
        }
        LockAnswer answer;
        answer.outcome = LockOutcome::locked;
        answer.lock.emplace(file, std::move(descriptor));
        return answer;
    }
    return failed(folder, "its lock file changes all the time");
}

}  // namespace aftercurve
