#include "core/publish/archive_bytes.h"

#include <zip.h>

#include <memory>

namespace aftercurve {

namespace {

constexpr zip_uint16_t firstDosDate = 0x21;  ///< 1980-01-01

struct SourceCloser {
    void operator()(zip_source_t* source) const { zip_source_free(source); }
};
struct PartCloser {
    void operator()(zip_file_t* file) const { zip_fclose(file); }
};
struct ArchiveCloser {
    void operator()(zip_t* archive) const { zip_discard(archive); }
};

Problem failure(const char* what) {
    Problem problem;
    problem.what = std::string{"the archive of the tables cannot be made: "} + what;
    problem.remedy = "choose fewer tables, or close other programs";
    return problem;
}

bool add(zip_t& archive, const ArchivePart& part) {
    zip_source_t* source = zip_source_buffer(&archive, part.bytes.data(), part.bytes.size(), 0);
    if (source == nullptr) {
        return false;
    }
    const zip_int64_t index = zip_file_add(&archive, part.name.c_str(), source, ZIP_FL_ENC_UTF_8);
    if (index < 0) {
        zip_source_free(source);
        return false;
    }
    const auto at = static_cast<zip_uint64_t>(index);
    return zip_file_set_dostime(&archive, at, 0, firstDosDate, 0) == 0 &&
           zip_set_file_compression(&archive, at, part.stored ? ZIP_CM_STORE : ZIP_CM_DEFLATE, 0) == 0;
}

Result<std::string> contents(zip_source_t& source) {
    zip_stat_t status;
    if (zip_source_stat(&source, &status) != 0 || (status.valid & ZIP_STAT_SIZE) == 0 ||
        zip_source_open(&source) != 0) {
        return failure("it cannot be read back");
    }
    std::string bytes(status.size, '\0');
    const zip_int64_t got = zip_source_read(&source, bytes.data(), bytes.size());
    zip_source_close(&source);
    if (got < 0 || static_cast<zip_uint64_t>(got) != status.size) {
        return failure("it cannot be read back whole");
    }
    return bytes;
}

bool readPart(zip_t& archive, zip_uint64_t index, ArchivePart& part) {
    zip_stat_t status;
    if (zip_stat_index(&archive, index, 0, &status) != 0 ||
        (status.valid & (ZIP_STAT_SIZE | ZIP_STAT_NAME)) != (ZIP_STAT_SIZE | ZIP_STAT_NAME)) {
        return false;
    }
    const std::unique_ptr<zip_file_t, PartCloser> file(zip_fopen_index(&archive, index, 0));
    if (!file) {
        return false;
    }
    part.name = status.name;
    part.bytes.resize(status.size);
    const zip_int64_t got = zip_fread(file.get(), part.bytes.data(), part.bytes.size());
    return got >= 0 && static_cast<zip_uint64_t>(got) == status.size;
}

}  // namespace

Result<std::vector<ArchivePart>> archiveParts(const std::filesystem::path& file) {
    int error = 0;
    const std::unique_ptr<zip_t, ArchiveCloser> archive(zip_open(file.c_str(), ZIP_RDONLY, &error));
    if (!archive) {
        return failure("it cannot be opened again");
    }
    std::vector<ArchivePart> parts(static_cast<std::size_t>(zip_get_num_entries(archive.get(), 0)));
    for (std::size_t i = 0; i < parts.size(); ++i) {
        if (!readPart(*archive, i, parts[i])) {
            return failure("a part of it cannot be read back whole");
        }
    }
    return parts;
}

Result<std::string> archiveBytes(std::span<const ArchivePart> parts) {
    zip_error_t error;
    zip_error_init(&error);
    const std::unique_ptr<zip_source_t, SourceCloser> source(zip_source_buffer_create(nullptr, 0, 0, &error));
    std::unique_ptr<zip_t, ArchiveCloser> archive(
        source ? zip_open_from_source(source.get(), ZIP_TRUNCATE, &error) : nullptr);
    zip_error_fini(&error);
    if (!archive) {
        return failure("no memory");
    }
    // The archive took the source over; this keeps it for reading.
    zip_source_keep(source.get());
    for (const ArchivePart& part : parts) {
        if (!add(*archive, part)) {
            return failure(zip_strerror(archive.get()));
        }
    }
    if (zip_close(archive.get()) != 0) {
        return failure(zip_strerror(archive.get()));
    }
    archive.release();
    return contents(*source);
}

}  // namespace aftercurve
