#include "core/bundle/bundle_archive.h"

#include <sys/stat.h>

#include <algorithm>
#include <optional>
#include <set>
#include <utility>

#include "core/files/excerpt.h"
#include "core/files/problem_list.h"
#include "core/files/read_file.h"

namespace aftercurve {

namespace {

constexpr zip_uint16_t dosDate = 0x0021;  // 1980-01-01
constexpr zip_uint16_t dosTime = 0x6000;  // 12:00:00
constexpr zip_uint32_t compressionLevel = 9;

Problem refused(std::string what) {
    return problemAt({}, 0, {}, std::move(what), "get the bundle anew from where it is deposited");
}

Problem notZipped(const std::string& reason) {
    return problemAt({}, 0, {}, "the archive cannot be made: " + reason,
                     "write the bundle into a folder, or close other programs");
}

std::string reasonOf(zip_error_t& error) {
    return printable(zip_error_strerror(&error));
}

struct ArchiveCloser {
    void operator()(zip_t* archive) const { zip_discard(archive); }
};

/// Adds one file with fixed time, mode and compression; false where the library refuses.
bool add(zip_t& archive, const BundleFile& file) {
    zip_source_t* const part = zip_source_buffer(&archive, file.bytes.data(), file.bytes.size(), 0);
    if (part == nullptr) {
        return false;
    }
    const zip_int64_t added = zip_file_add(&archive, file.name.c_str(), part, ZIP_FL_ENC_UTF_8);
    if (added < 0) {
        zip_source_free(part);
        return false;
    }
    const auto index = static_cast<zip_uint64_t>(added);
    constexpr zip_uint32_t mode = static_cast<zip_uint32_t>(S_IFREG | 0644) << 16;
    return zip_set_file_compression(&archive, index, ZIP_CM_DEFLATE, compressionLevel) == 0 &&
           zip_file_set_dostime(&archive, index, dosTime, dosDate, 0) == 0 &&
           zip_file_set_external_attributes(&archive, index, 0, ZIP_OPSYS_UNIX, mode) == 0;
}

std::uint32_t numberAt(std::string_view bytes, std::size_t at, std::size_t size) {
    std::uint32_t number = 0;
    for (std::size_t i = size; i-- > 0;) {
        number = number << 8 | static_cast<unsigned char>(bytes[at + i]);
    }
    return number;
}

/// Why an entry is none that a bundle can have; nothing where it is.
std::optional<Problem> faultOf(const zip_stat_t& status, const std::string& name, zip_uint32_t mode,
                               bool folder, const BundleLimits& limits) {
    if (const auto fault = faultOfBundleName(folder ? name.substr(0, name.size() - 1) : name)) {
        return refused("the archive has a name that cannot stand in a bundle, " + quote(name) + ": " +
                       *fault);
    }
    const zip_uint32_t kind = mode & S_IFMT;
    // An empty entry for a folder is passed over, whatever file its mode makes of it.
    if (kind != 0 && kind != S_IFREG && !(folder && kind == S_IFDIR)) {
        return refused("the entry " + quote(name) + " of the archive is " +
                       (kind == S_IFLNK ? "a symbolic link" : "no regular file"));
    }
    constexpr zip_uint64_t needed = ZIP_STAT_SIZE | ZIP_STAT_COMP_SIZE;
    if ((status.valid & needed) != needed || (folder && status.size != 0)) {
        return refused("the entry " + quote(name) + " of the archive has no size that can be right");
    }
    if (status.encryption_method != ZIP_EM_NONE) {
        return refused("the entry " + quote(name) + " of the archive is protected by a password");
    }
    if (status.size > limits.fileBytes) {
        return refused("the entry " + quote(name) + " of the archive unpacks to " + megabytes(status.size) +
                       ", more than the " + megabytes(limits.fileBytes) + " that are read");
    }
    if (status.size >= limits.ratioFrom && status.size / limits.ratio > status.comp_size) {
        return refused("the entry " + quote(name) + " of the archive unpacks to more than " +
                       std::to_string(limits.ratio) + " times its packed size, as no file of a bundle does");
    }
    return std::nullopt;
}

}  // namespace

std::optional<std::vector<std::string_view>> zipDirectoryNames(std::string_view bytes, std::size_t most) {
    // APPNOTE.TXT 6.3, 4.3.12 and 4.3.16: the record at the end, and the headers of the directory before it.
    constexpr std::size_t endBytes = 22;
    constexpr std::size_t headerBytes = 46;
    if (bytes.size() < endBytes) {
        return std::nullopt;
    }
    const std::size_t end = bytes.size() - endBytes;
    if (bytes.substr(end, 4) != "PK\x05\x06" || numberAt(bytes, end + 20, 2) != 0) {
        return std::nullopt;
    }
    const std::size_t count = numberAt(bytes, end + 10, 2);
    const std::size_t size = numberAt(bytes, end + 12, 4);
    std::size_t at = numberAt(bytes, end + 16, 4);
    if (at > end || size != end - at || count == 0xffff || count > most) {
        return std::nullopt;
    }
    std::vector<std::string_view> names;
    names.reserve(count);
    while (at < end) {
        if (end - at < headerBytes || bytes.substr(at, 4) != "PK\x01\x02" || names.size() == count) {
            return std::nullopt;
        }
        const std::size_t name = numberAt(bytes, at + 28, 2);
        const std::size_t behind = numberAt(bytes, at + 30, 2) + numberAt(bytes, at + 32, 2);
        if (end - at - headerBytes < name + behind) {
            return std::nullopt;
        }
        names.push_back(bytes.substr(at + headerBytes, name));
        at += headerBytes + name + behind;
    }
    return names.size() == count ? std::optional(std::move(names)) : std::nullopt;
}

Result<std::string> zippedBundle(std::span<const BundleFile> files) {
    zip_error_t error;
    zip_error_init(&error);
    const std::unique_ptr<zip_source_t, void (*)(zip_source_t*)> memory{
        zip_source_buffer_create(nullptr, 0, 0, &error), [](zip_source_t* source) {
            if (source != nullptr) {
                zip_source_free(source);
            }
        }};
    if (!memory) {
        return notZipped(reasonOf(error));
    }
    zip_source_keep(memory.get());
    std::unique_ptr<zip_t, ArchiveCloser> archive{
        zip_open_from_source(memory.get(), ZIP_CREATE | ZIP_TRUNCATE, &error)};
    if (!archive) {
        zip_source_free(memory.get());
        return notZipped(reasonOf(error));
    }
    for (const BundleFile& file : files) {
        if (const auto fault = faultOfBundleName(file.name)) {
            return notZipped("the name " + quote(file.name) + " cannot stand in a bundle: " + *fault);
        }
        if (!add(*archive, file)) {
            return notZipped(reasonOf(*zip_get_error(archive.get())));
        }
    }
    if (zip_close(archive.get()) != 0) {
        return notZipped(reasonOf(*zip_get_error(archive.get())));
    }
    [[maybe_unused]] zip_t* const closed = archive.release();
    zip_stat_t status;
    if (zip_source_stat(memory.get(), &status) != 0 || zip_source_open(memory.get()) != 0) {
        return notZipped("its bytes cannot be read back");
    }
    std::string bytes(status.size, '\0');
    const zip_int64_t got = zip_source_read(memory.get(), bytes.data(), bytes.size());
    zip_source_close(memory.get());
    if (got < 0 || static_cast<zip_uint64_t>(got) != status.size) {
        return notZipped("its bytes cannot be read back");
    }
    return bytes;
}

Result<BundleArchive> BundleArchive::open(std::string_view bytes, const BundleLimits& limits) {
    // Counted before the library reads the directory, since a hostile one could have millions of entries.
    // Folders may have entries too.
    const auto names = zipDirectoryNames(bytes, 2 * limits.files);
    if (!names) {
        return refused(
            "the file is no zip archive of a bundle: its directory is damaged, cut short, followed by other "
            "bytes, or has more than the " +
            std::to_string(limits.files) + " files that are read");
    }
    std::set<std::string_view> seen;
    for (const std::string_view name : *names) {
        if (!seen.insert(name).second) {
            return refused("the name " + quote(name) + " stands twice in the archive");
        }
    }
    zip_error_t error;
    zip_error_init(&error);
    zip_source_t* const source = zip_source_buffer_create(bytes.data(), bytes.size(), 0, &error);
    zip_t* const opened =
        source == nullptr ? nullptr : zip_open_from_source(source, ZIP_RDONLY | ZIP_CHECKCONS, &error);
    if (opened == nullptr) {
        const std::string reason = reasonOf(error);
        if (source != nullptr) {
            zip_source_free(source);
        }
        zip_error_fini(&error);
        return refused("the archive is damaged: " + reason);
    }
    BundleArchive archive;
    archive.archive_.reset(opened);
    if (zip_get_num_entries(opened, 0) != static_cast<zip_int64_t>(names->size())) {
        return refused("the directory of the archive is damaged");
    }
    std::uintmax_t total = 0;
    for (zip_uint64_t i = 0; i < names->size(); ++i) {
        const std::string_view raw = (*names)[i];
        const char* const name = zip_get_name(opened, i, ZIP_FL_ENC_RAW);
        if (name == nullptr || raw != name) {
            return refused("the archive has a name that cannot stand in a bundle, " + quote(raw) +
                           ": it has a NUL, or the directory is damaged");
        }
        zip_stat_t status;
        zip_uint8_t system = 0;
        zip_uint32_t attributes = 0;
        if (zip_stat_index(opened, i, 0, &status) != 0 ||
            zip_file_get_external_attributes(opened, i, 0, &system, &attributes) != 0) {
            return refused("the directory of the archive is damaged");
        }
        const bool folder = raw.ends_with('/');
        // Systems without such modes leave these bits empty.
        if (auto fault = faultOf(status, std::string{raw}, attributes >> 16, folder, limits)) {
            return std::move(*fault);
        }
        if (folder) {
            continue;
        }
        total += status.size;
        archive.items_.push_back({std::string{raw}, status.size});
        archive.indices_.push_back(i);
        if (total > limits.totalBytes || archive.items_.size() > limits.files) {
            return refused("the archive has more than the " + std::to_string(limits.files) + " files or " +
                           megabytes(limits.totalBytes) + " unpacked that are read");
        }
    }
    return archive;
}

Result<std::string> BundleArchive::read(std::size_t item) const {
    const BundleItem& wanted = items_[item];
    const auto damaged = [&](const std::string& reason) {
        Problem problem =
            refused("the entry " + quote(wanted.name) + " of the archive is damaged: " + reason);
        problem.file = wanted.name;
        return problem;
    };
    const auto closer = [](zip_file_t* file) { zip_fclose(file); };
    const std::unique_ptr<zip_file_t, decltype(closer)> file{
        zip_fopen_index(archive_.get(), indices_[item], 0), closer};
    if (!file) {
        return damaged(reasonOf(*zip_get_error(archive_.get())));
    }
    // One byte more than declared shows an entry that unpacks to more; the memory grows with what comes.
    constexpr std::size_t piece = std::size_t{1} << 20;
    std::string bytes;
    while (bytes.size() <= wanted.bytes) {
        const std::size_t had = bytes.size();
        const auto left = static_cast<std::size_t>(wanted.bytes) + 1 - had;
        const std::size_t ask = std::min(piece, left);
        bytes.resize(had + ask);
        const zip_int64_t got = zip_fread(file.get(), bytes.data() + had, ask);
        if (got < 0) {
            return damaged(reasonOf(*zip_file_get_error(file.get())));
        }
        bytes.resize(had + static_cast<std::size_t>(got));
        if (got == 0) {
            break;
        }
    }
    if (bytes.size() != wanted.bytes) {
        return damaged("it does not unpack to the size that it declares");
    }
    return bytes;
}

}  // namespace aftercurve
