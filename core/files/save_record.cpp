#include "core/files/save_record.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <system_error>

#include "core/files/excerpt.h"
#include "core/files/json_object.h"
#include "core/files/path_inside.h"
#include "core/files/problem_list.h"
#include "core/files/text_check.h"

namespace aftercurve {

namespace fs = std::filesystem;

namespace {

constexpr const char* formatName = "aftercurve-save";
constexpr std::size_t mostBytes = std::size_t{1} << 20;
constexpr std::size_t mostFiles = 1000;
constexpr int mostDepth = 8;
constexpr const char* recordPath = ".aftercurve-save/record.json";

Problem badRecord(const std::string& reason) {
    return problemAt(recordPath, 0, {}, "the record of an interrupted save cannot be used: " + reason,
                     "move the hidden folder .aftercurve-save out of the study folder and check the files; "
                     "they are then read as they stand");
}

bool isHash(const std::string& text) {
    return text.size() == 64 && text.find_first_not_of("0123456789abcdef") == std::string::npos;
}

Result<SaveRecord> recordFrom(std::string_view bytes) {
    const Result<std::string_view> text = checkedText(bytes, recordPath);
    if (!text) {
        return badRecord(text.problem().what);
    }
    const Result<Json> json = parseJson(text.value(), recordPath, mostDepth);
    if (!json) {
        return badRecord(json.problem().what);
    }
    if (!json.value().is_object()) {
        return badRecord("it holds no JSON object");
    }
    ProblemList problems{1};
    const JsonObject root{json.value(), "", recordPath, problems};
    if (root.text("format", Need::required).value_or("") != formatName ||
        root.wholeNumber("version").value_or(0) != 1) {
        return badRecord("it is not of a kind that this program knows");
    }
    SaveRecord record;
    record.discardsUnsaved = root.boolean("discards_unsaved").value_or(false);
    for (const JsonObject& entry : root.objects("files", Need::required)) {
        SaveRecordFile file{entry.text("file", Need::required).value_or(""),
                            entry.text("sha256", Need::required).value_or(""),
                            entry.text("replaced").value_or("")};
        if (!isHash(file.sha256) || !(file.replaced.empty() || isHash(file.replaced))) {
            return badRecord("a hash in it is not 64 hexadecimal digits");
        }
        record.files.push_back(std::move(file));
    }
    if (record.files.size() > mostFiles) {
        return badRecord("it names more than 1000 files");
    }
    if (problems.failed()) {
        return badRecord(problems.take().front().what);
    }
    return record;
}

Result<std::optional<std::string>> recordBytes(int staging) {
    const FileDescriptor file{
        ::openat(staging, saveRecordName, O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_NOCTTY | O_CLOEXEC)};
    if (!file.open() && errno == ENOENT) {
        return std::optional<std::string>{};
    }
    struct stat status {};
    if (!file.open() || ::fstat(file.get(), &status) != 0) {
        return badRecord(std::generic_category().message(errno));
    }
    if (!S_ISREG(status.st_mode) || status.st_size > static_cast<off_t>(mostBytes)) {
        return badRecord("it is not a file of at most 1 MiB");
    }
    std::string bytes(mostBytes + 1, '\0');
    std::size_t size = 0;
    while (size < bytes.size()) {
        const ssize_t got = ::read(file.get(), bytes.data() + size, bytes.size() - size);
        if (got < 0 && errno == EINTR) {
            continue;
        }
        if (got < 0) {
            return badRecord(std::generic_category().message(errno));
        }
        if (got == 0) {
            break;
        }
        size += static_cast<std::size_t>(got);
    }
    bytes.resize(size);
    return std::optional<std::string>{std::move(bytes)};
}

}  // namespace

std::string stagedFileName(std::size_t index) {
    return "file-" + std::to_string(index);
}

std::string saveRecordText(const SaveRecord& record) {
    Json files = Json::array();
    for (const SaveRecordFile& file : record.files) {
        Json entry{{"file", file.name}, {"sha256", file.sha256}};
        if (!file.replaced.empty()) {
            entry["replaced"] = file.replaced;
        }
        files.push_back(std::move(entry));
    }
    Json root{{"format", formatName}, {"version", 1}};
    if (record.discardsUnsaved) {
        root["discards_unsaved"] = true;
    }
    root["files"] = std::move(files);
    return root.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

Result<Staging> findStaging(const fs::path& folder) {
    Staging staging;
    const fs::path path = folder / stagingName;
    staging.folder = FileDescriptor{::open(path.c_str(), O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC)};
    if (!staging.folder.open()) {
        if (errno == ENOENT) {
            return staging;
        }
        const bool otherKind = errno == ELOOP || errno == ENOTDIR;
        return problemAt(
            stagingName, 0, {},
            std::string{"the hidden folder "} + stagingName +
                (otherKind ? " is a link or a file, not a folder"
                           : " cannot be looked into: " + std::generic_category().message(errno)),
            otherKind ? "remove it; this program makes it where it is needed" : "check its permissions");
    }
    const auto bytes = recordBytes(staging.folder.get());
    if (!bytes) {
        return bytes.problem();
    }
    if (!bytes.value()) {
        return staging;
    }
    Result<SaveRecord> record = recordFrom(*bytes.value());
    if (!record) {
        return record.problem();
    }
    for (const SaveRecordFile& file : record.value().files) {
        if (const auto target = resolveForWriting(folder, file.name); !target) {
            return badRecord(target.problem().what);
        }
    }
    staging.record = std::move(record).value();
    return staging;
}

Problem damagedStaging(const std::string& name) {
    return problemAt(name, 0, {},
                     "a save of " + quote(name) +
                         " was interrupted, and its prepared copy is not the one that was to be saved",
                     "move the hidden folder .aftercurve-save out of the study folder and check the files; "
                     "they are then read as they stand");
}

}  // namespace aftercurve
