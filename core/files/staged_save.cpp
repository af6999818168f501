#include "core/files/staged_save.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>

#include "core/files/disk_write.h"
#include "core/files/excerpt.h"
#include "core/files/open_inside.h"
#include "core/files/path_inside.h"
#include "core/files/problem_list.h"
#include "core/files/save_record.h"
#include "core/files/save_steps.h"
#include "core/files/sha256.h"
#include "core/files/utf8.h"

namespace aftercurve {

namespace fs = std::filesystem;

namespace {

constexpr std::size_t mostFiles = 1000;

/// Keeps what another program wrote over the old file since the save was interrupted. Gives a note, or
/// nothing where the file is the one that the save replaces.
Result<std::optional<Problem>> keepChangedOutside(const Target& target, const SaveRecordFile& file) {
    const std::string now = target.exists ? hashOfFile(target.path) : std::string{};
    if (now.empty() || now == file.replaced || now == file.sha256) {
        return std::optional<Problem>{};
    }
    const fs::path aside = target.path.string() + ".changed-outside-" + now.substr(0, 8);
    if (::rename(target.path.c_str(), aside.c_str()) != 0) {
        return notInPlace({0, target.path, errno, true});
    }
    Problem note =
        problemAt(file.name, 0, {},
                  quote(file.name) +
                      " was changed by another program after a save of it was interrupted; the save "
                      "was finished, and the changed file is kept as " +
                      printable(aside.filename().string()),
                  "compare the two files");
    note.severity = Severity::warning;
    return std::optional<Problem>{std::move(note)};
}

Result<FinishedSave> rollForward(const OpenFolder& folder, Staging staging) {
    FinishedSave result{InterruptedSave::finished, {}};
    const SaveRecord& record = *staging.record;
    std::vector<Target> targets;
    std::vector<bool> staged;
    for (std::size_t i = 0; i < record.files.size(); ++i) {
        Result<Target> target = targetFor(folder, record.files[i].name);
        if (!target) {
            return target.problem();
        }
        targets.push_back(std::move(target).value());
        const FileDescriptor copy{::openat(staging.folder.get(), stagedFileName(i).c_str(),
                                           O_RDONLY | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK)};
        staged.push_back(copy.open() || errno != ENOENT);
        struct stat status {};
        const bool sound = copy.open() && ::fstat(copy.get(), &status) == 0 && S_ISREG(status.st_mode) &&
                           sha256OfOpen(copy.get()) == record.files[i].sha256;
        if (staged.back() && !sound) {
            return damagedStaging(record.files[i].name);
        }
    }
    for (std::size_t i = 0; i < targets.size(); ++i) {
        if (!staged[i]) {
            continue;
        }
        auto note = keepChangedOutside(targets[i], record.files[i]);
        if (!note) {
            return note.problem();
        }
        if (note.value()) {
            result.notes.push_back(*note.value());
        }
    }
    if (const Placing placing = putInPlace(folder, staging.folder, record, targets); !placing.done()) {
        return notInPlace(placing);
    }
    clearStaging(folder, std::move(staging.folder));
    return result;
}

Result<FinishedSave> finishIn(const OpenFolder& folder) {
    Result<Staging> found = findStaging(folder.path);
    if (!found) {
        return found.problem();
    }
    Staging staging = std::move(found).value();
    if (!staging.folder.open()) {
        return FinishedSave{};
    }
    if (staging.record) {
        return rollForward(folder, std::move(staging));
    }
    if (::faccessat(staging.folder.get(), ".", W_OK | X_OK, AT_EACCESS) != 0) {
        return cannotWrite(folder.path / stagingName, errno);
    }
    clearStaging(folder, std::move(staging.folder));
    return FinishedSave{InterruptedSave::discarded, {}};
}

/// Steps 2 to 4 of one save.
class Save {
  public:
    Save(const OpenFolder& folder, std::span<const NewFile> files, UnsavedLog unsaved)
        : folder_(folder), files_(files) {
        record_.discardsUnsaved = unsaved == UnsavedLog::discard;
    }

    Result<Done> run() {
        if (const auto found = findTargets(); !found) {
            return found.problem();
        }
        if (::mkdirat(folder_.descriptor.get(), stagingName, 0777) != 0 && errno != EEXIST) {
            return cannotWrite(folder_.path, errno);
        }
        staging_ = FileDescriptor{
            ::openat(folder_.descriptor.get(), stagingName, O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC)};
        if (!staging_.open()) {
            return cannotWrite(folder_.path / stagingName, errno);
        }
        const Result<Done> committed = commit();
        if (!committed) {
            clearStaging(folder_, std::move(staging_));
            return committed;
        }
        const Placing placing = putInPlace(folder_, staging_, record_, targets_);
        if (placing.done()) {
            clearStaging(folder_, std::move(staging_));
            return Done{};
        }
        // Without a rename nothing has changed yet, and the save can still be taken back.
        if (placing.renamed == 0 && ::unlinkat(staging_.get(), saveRecordName, 0) == 0) {
            clearStaging(folder_, std::move(staging_));
            return cannotWrite(placing.failedAt, placing.error);
        }
        return notInPlace(placing);
    }

  private:
    Result<Done> findTargets() {
        if (files_.size() > mostFiles) {
            return cannotWrite(folder_.path, "more than 1000 files in one save");
        }
        for (const NewFile& file : files_) {
            if (firstNotUtf8(file.name) != file.name.size()) {
                return problemAt(file.name, 0, {}, quote(file.name) + " is not UTF-8", "rename the file");
            }
            Result<Target> target = targetFor(folder_, file.name);
            if (!target) {
                return target.problem();
            }
            for (std::size_t i = 0; i < targets_.size(); ++i) {
                if (targets_[i].path == target.value().path) {
                    return problemAt(file.name, 0, {},
                                     quote(file.name) + " and " + quote(files_[i].name) + " are one file",
                                     "name each file once");
                }
            }
            targets_.push_back(std::move(target).value());
        }
        return Done{};
    }

    Result<Done> commit() {
        for (std::size_t i = 0; i < files_.size(); ++i) {
            const Target& target = targets_[i];
            if (const int failure =
                    writeStaged(staging_.get(), stagedFileName(i).c_str(), files_[i].bytes, &target);
                failure != 0) {
                return cannotWrite(target.path, failure);
            }
            record_.files.push_back({files_[i].name, sha256Hex(files_[i].bytes),
                                     target.exists ? hashOfFile(target.path) : std::string{}});
        }
        const fs::path place = folder_.path / stagingName;
        int failure = writeStaged(staging_.get(), unfinishedRecordName, saveRecordText(record_), nullptr);
        if (failure == 0) {
            failure = flushFolder(staging_.get());
        }
        if (failure == 0) {
            failure = flushFolder(folder_.descriptor.get());
        }
        if (failure != 0) {
            return cannotWrite(place, failure);
        }
        if (::renameat(staging_.get(), unfinishedRecordName, staging_.get(), saveRecordName) != 0) {
            return cannotWrite(place, errno);
        }
        if (failure = flushFolder(staging_.get()); failure != 0) {
            ::unlinkat(staging_.get(), saveRecordName, 0);
            return cannotWrite(place, failure);
        }
        return Done{};
    }

    const OpenFolder& folder_;
    std::span<const NewFile> files_;
    std::vector<Target> targets_;
    SaveRecord record_;
    FileDescriptor staging_;
};

}  // namespace

Result<Done> saveTogether(const fs::path& folder, std::span<const NewFile> files, UnsavedLog unsaved) {
    const Result<OpenFolder> open = openFolder(folder);
    if (!open) {
        return open.problem();
    }
    if (const auto finished = finishIn(open.value()); !finished) {
        return finished.problem();
    }
    return files.empty() ? Result<Done>{Done{}} : Save{open.value(), files, unsaved}.run();
}

Result<FinishedSave> finishInterruptedSave(const fs::path& folder) {
    const Result<Staging> found = findStaging(folder);
    if (!found) {
        return found.problem();
    }
    if (!found.value().folder.open()) {
        return FinishedSave{};
    }
    const Result<OpenFolder> open = openFolder(folder);
    return open ? finishIn(open.value()) : open.problem();
}

Result<std::optional<FileBytes>> stagedBytesFor(const fs::path& folder, const std::string& name,
                                                std::uintmax_t maxBytes) {
    const Result<Staging> staging = findStaging(folder);
    if (!staging) {
        return staging.problem();
    }
    const auto target =
        staging.value().record ? resolveForWriting(folder, name) : Result<fs::path>{fs::path{}};
    if (!target) {
        return target.problem();
    }
    const auto index = stagedIndexOf(folder, staging.value(), target.value());
    const bool there = index && ::faccessat(staging.value().folder.get(), stagedFileName(*index).c_str(),
                                            F_OK, AT_SYMLINK_NOFOLLOW) == 0;
    if (!there) {
        return std::optional<FileBytes>{};
    }
    Result<FileBytes> bytes = readInside(folder, name, maxBytes);
    if (!bytes) {
        return bytes.problem();
    }
    return std::optional<FileBytes>{std::move(bytes).value()};
}

}  // namespace aftercurve
