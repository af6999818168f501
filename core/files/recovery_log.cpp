#include "core/files/recovery_log.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <system_error>

#include "core/files/disk_write.h"
#include "core/files/excerpt.h"
#include "core/files/json_line.h"
#include "core/files/problem_list.h"
#include "core/files/read_file.h"
#include "core/files/save_record.h"

namespace aftercurve {

namespace fs = std::filesystem;

namespace {

constexpr const char* formatName = "aftercurve-unsaved";

Problem cannotLog(const fs::path& path, const std::string& reason) {
    return problemAt(unsavedLogName, 0, {},
                     "the edit is not kept in " + printable(path.string()) + ": " + reason,
                     "save the study, or free some space; an edit that is not saved is lost when the program "
                     "ends early");
}

Problem cannotLog(const fs::path& path, int error) {
    return cannotLog(path, std::generic_category().message(error));
}

Problem unusable(const std::string& reason) {
    return problemAt(unsavedLogName, 1, {}, "the log of unsaved edits cannot be used: " + reason,
                     "move it away or discard it; the saved study is not touched by it");
}

Problem noteAt(std::size_t row, Severity severity, std::string what, std::string remedy) {
    Problem note = problemAt(unsavedLogName, row, {}, std::move(what), std::move(remedy));
    note.severity = severity;
    return note;
}

Result<std::string> baseLine(const RecoveryBase& base) {
    const Json object{{"format", formatName},
                      {"version", 1},
                      {"by", base.by},
                      {"since", base.since},
                      {"inputs", inputsJson(base.inputs)}};
    return lineText(object, unsavedLogName, "the log of unsaved edits");
}

Result<RecoveryBase> baseFrom(std::string_view line) {
    const Result<Json> json = jsonLine(line, unsavedLogName);
    if (!json) {
        return unusable("its first line is damaged, " + json.problem().what);
    }
    LineKeys keys{json.value()};
    const bool known =
        keys.text("format").value_or("") == formatName && keys.wholeNumber("version").value_or(0) == 1;
    if (!known) {
        return unusable("it is not of a kind that this program knows");
    }
    RecoveryBase base{keys.text("by").value_or(""), keys.text("since").value_or(""), keys.inputs("inputs")};
    if (!keys.wrong().empty()) {
        return unusable("in its first line, " + keys.wrong());
    }
    return base;
}

bool isEdit(std::string_view line) {
    return line.size() <= mostEditBytes && jsonLine(line, unsavedLogName).ok();
}

/// The edits after the first line, as far as they are whole.
void readEdits(std::string_view bytes, Recovery& recovery) {
    for (std::size_t row = 2; !bytes.empty(); ++row) {
        const std::size_t end = bytes.find('\n');
        const std::string_view line = bytes.substr(0, end);
        const bool last = end == std::string_view::npos || end + 1 == bytes.size();
        if (end == std::string_view::npos || (last && !isEdit(line))) {
            recovery.notes.push_back(noteAt(row, Severity::note,
                                            "the last edit was cut off while it was written and is left out",
                                            "check whether it is still wanted"));
            return;
        }
        if (!isEdit(line)) {
            const auto left = static_cast<std::size_t>(std::count(bytes.begin(), bytes.end(), '\n'));
            recovery.notes.push_back(noteAt(row, Severity::warning,
                                            "the log of unsaved edits is damaged here; " +
                                                std::to_string(left) +
                                                " lines from this one on are left out, those before it stand",
                                            "check which edits are still wanted"));
            return;
        }
        recovery.edits.emplace_back(line);
        recovery.soundBytes += line.size() + 1;
        bytes.remove_prefix(end + 1);
    }
}

void noteChangedBase(Recovery& recovery) {
    if (recovery.changed.empty()) {
        return;
    }
    std::string names;
    for (const ChangedFile& file : recovery.changed) {
        names += (names.empty() ? "" : ", ") + quote(file.file);
        if (names.size() > 200) {
            names += ", ...";
            break;
        }
    }
    recovery.notes.push_back(
        noteAt(1, Severity::warning,
               "the unsaved edits were made on other files than those that are there now: " + names,
               "discard the edits, or put back the files and open the study again"));
}

FileDescriptor openLog(const fs::path& path, int extraFlags) {
    return FileDescriptor{
        ::open(path.c_str(), O_WRONLY | O_NOFOLLOW | O_NONBLOCK | O_NOCTTY | O_CLOEXEC | extraFlags, 0666)};
}

}  // namespace

Result<RecoveryLog> RecoveryLog::start(const fs::path& folder, const RecoveryBase& base) {
    const Result<std::string> line = baseLine(base);
    if (!line) {
        return line.problem();
    }
    const fs::path path = folder / unsavedLogName;
    FileDescriptor file = openLog(path, O_CREAT | O_EXCL);
    if (!file.open()) {
        if (errno == EEXIST) {
            return problemAt(unsavedLogName, 0, {}, "unsaved edits of an earlier session are still there",
                             "take them over or discard them first");
        }
        return cannotLog(path, errno);
    }
    int failure = writeAll(file.get(), line.value() + "\n");
    if (failure == 0 && ::fsync(file.get()) != 0) {
        failure = errno;
    }
    if (failure == 0) {
        failure = flushFolder(folder);
    }
    if (failure != 0) {
        ::unlink(path.c_str());
        return cannotLog(path, failure);
    }
    return RecoveryLog{path, std::move(file), line.value().size() + 1};
}

Result<RecoveryLog> RecoveryLog::resume(const fs::path& folder) {
    const auto recovery = readRecovery(folder);
    if (!recovery) {
        return recovery.problem();
    }
    const fs::path path = folder / unsavedLogName;
    if (!recovery.value()) {
        return cannotLog(path, ENOENT);
    }
    FileDescriptor file = openLog(path, 0);
    struct stat status {};
    if (!file.open() || ::fstat(file.get(), &status) != 0) {
        return cannotLog(path, errno);
    }
    const auto size = static_cast<off_t>(recovery.value()->soundBytes);
    if (!S_ISREG(status.st_mode) || status.st_size < size) {
        return cannotLog(path, "it changed while it was read");
    }
    if (::ftruncate(file.get(), size) != 0 || ::lseek(file.get(), size, SEEK_SET) != size) {
        return cannotLog(path, errno);
    }
    return RecoveryLog{path, std::move(file), recovery.value()->soundBytes};
}

Result<Done> RecoveryLog::append(std::string_view edit) {
    std::string line{edit};
    // Outside of texts a line break is a blank, and inside of one JSON allows none.
    std::replace_if(
        line.begin(), line.end(), [](char c) { return c == '\n' || c == '\r'; }, ' ');
    if (!isEdit(line) || !isEdit(edit)) {
        return cannotLog(path_, "it is not a JSON object of at most 1 MiB");
    }
    line += '\n';
    if (size_ + line.size() > mostUnsavedBytes) {
        return cannotLog(path_, "the log has its full size, 64 MiB");
    }
    int failure = writeAll(file_.get(), line);
    if (failure == 0 && ::fdatasync(file_.get()) != 0) {
        failure = errno;
    }
    if (failure != 0) {
        const auto size = static_cast<off_t>(size_);
        if (::ftruncate(file_.get(), size) != 0 || ::lseek(file_.get(), size, SEEK_SET) != size) {
            return cannotLog(path_, errno);
        }
        return cannotLog(path_, failure);
    }
    size_ += line.size();
    return Done{};
}

Result<std::optional<Recovery>> readRecovery(const fs::path& folder) {
    const Result<Staging> staging = findStaging(folder);
    if (!staging) {
        return staging.problem();
    }
    const bool savedAlready = staging.value().record && staging.value().record->discardsUnsaved;
    std::error_code error;
    const auto type = fs::symlink_status(folder / unsavedLogName, error).type();
    if (savedAlready || type == fs::file_type::not_found) {
        return std::optional<Recovery>{};
    }
    if (type == fs::file_type::symlink) {
        return unusable("it is a symbolic link");
    }
    const auto bytes = readInside(folder, unsavedLogName, mostUnsavedBytes);
    if (!bytes) {
        return unusable(bytes.problem().what);
    }
    std::string_view text = bytes.value().view();
    const std::size_t end = text.find('\n');
    if (end == std::string_view::npos) {
        return unusable("its first line was cut off while it was written, so that it holds no edits");
    }
    const Result<RecoveryBase> base = baseFrom(text.substr(0, end));
    if (!base) {
        return base.problem();
    }
    Recovery recovery;
    recovery.base = base.value();
    recovery.soundBytes = end + 1;
    readEdits(text.substr(end + 1), recovery);
    recovery.changed = filesChanged(folder, recovery.base.inputs);
    noteChangedBase(recovery);
    return std::optional<Recovery>{std::move(recovery)};
}

Result<Done> discardRecovery(const fs::path& folder) {
    const fs::path path = folder / unsavedLogName;
    if (::unlink(path.c_str()) != 0 && errno != ENOENT) {
        return cannotWrite(path, errno);
    }
    const int failure = flushFolder(folder);
    return failure == 0 ? Result<Done>{Done{}} : Result<Done>{cannotWrite(folder, failure)};
}

}  // namespace aftercurve
