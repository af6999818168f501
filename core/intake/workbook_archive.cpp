#include "core/intake/workbook_archive.h"

#include <algorithm>
#include <vector>

#include "core/files/excerpt.h"
#include "core/files/problem_list.h"
#include "core/files/read_file.h"

namespace aftercurve {

namespace {

/// Repetitive sheets shrink to a hundredth; deflate cannot pass a 1032nd.
constexpr std::uintmax_t largestRatio = 500;
constexpr std::uintmax_t ratioMattersFrom = std::uintmax_t{32} << 20;

/// Entries that the directory can have at most: each begins with this signature. Counted before the
/// directory is read, since a hostile one could have millions.
std::size_t directoryEntries(std::string_view bytes) {
    constexpr std::string_view signature{"PK\x01\x02", 4};
    std::size_t count = 0;
    for (std::size_t at = bytes.find(signature); at != std::string_view::npos && count <= largestPartCount;
         at = bytes.find(signature, at + signature.size())) {
        ++count;
    }
    return count;
}

std::string reasonOf(zip_error_t& error) {
    return printable(zip_error_strerror(&error));
}

Problem tooLarge(std::string_view file, const std::string& part, std::uintmax_t limit) {
    return problemAt(file, 0, {},
                     "the part " + quote(part) + " of the workbook expands to more than the " +
                         megabytes(limit) + " that are read",
                     "check that it is the right file, or save the sheet that the study needs as CSV");
}

}  // namespace

Problem damagedWorkbook(std::string_view file, std::string what) {
    return problemAt(file, 0, {}, std::move(what),
                     "open the workbook in a spreadsheet and save it anew as .xlsx, or as CSV");
}

Result<std::size_t> PartStream::read(std::span<char> into) {
    const zip_int64_t got = zip_fread(file_.get(), into.data(), into.size());
    if (got < 0) {
        return damagedWorkbook(fileName_, "the part " + quote(part_) + " of the workbook is damaged: " +
                                              reasonOf(*zip_file_get_error(file_.get())));
    }
    const auto size = static_cast<std::size_t>(got);
    count_ += size;
    if (count_ > limit_) {
        return tooLarge(fileName_, part_, limit_);
    }
    return size;
}

double PartStream::share() const {
    return declared_ == 0 ? 1.0 : std::min(1.0, static_cast<double>(count_) / static_cast<double>(declared_));
}

Result<WorkbookArchive> WorkbookArchive::open(std::string_view bytes, std::string_view file,
                                              const IntakeLimits& limits) {
    if (directoryEntries(bytes) > largestPartCount) {
        return damagedWorkbook(file, "the archive of the workbook has more than the " +
                                         std::to_string(largestPartCount) + " parts that are read");
    }
    zip_error_t error;
    zip_error_init(&error);
    zip_source_t* const source = zip_source_buffer_create(bytes.data(), bytes.size(), 0, &error);
    zip_t* const opened = source == nullptr ? nullptr : zip_open_from_source(source, ZIP_RDONLY, &error);
    if (opened == nullptr) {
        const std::string reason = reasonOf(error);
        zip_source_free(source);
        zip_error_fini(&error);
        return damagedWorkbook(file, "the archive of the workbook is damaged or cut short: " + reason);
    }
    zip_error_fini(&error);
    WorkbookArchive archive;
    archive.archive_.reset(opened);
    archive.file_ = file;
    archive.expandedBytes_ = limits.expandedBytes;
    if (auto fault = archive.faultOfParts(limits)) {
        return std::move(*fault);
    }
    return archive;
}

std::optional<Problem> WorkbookArchive::faultOfParts(const IntakeLimits& limits) const {
    const zip_int64_t count = zip_get_num_entries(archive_.get(), 0);
    for (zip_int64_t i = 0; i < count; ++i) {
        zip_stat_t status;
        if (zip_stat_index(archive_.get(), static_cast<zip_uint64_t>(i), 0, &status) != 0) {
            return damagedWorkbook(file_, "the directory of the workbook's archive is damaged");
        }
        const std::string name = (status.valid & ZIP_STAT_NAME) != 0 ? status.name : "";
        if (status.encryption_method != ZIP_EM_NONE) {
            return problemAt(file_, 0, {},
                             "the part " + quote(name) + " of the workbook is protected by a password",
                             "take the password off and save the workbook anew");
        }
        if (status.size > limits.expandedBytes) {
            return tooLarge(file_, name, limits.expandedBytes);
        }
        if (status.size >= ratioMattersFrom && status.size / largestRatio > status.comp_size) {
            return damagedWorkbook(
                file_, "the part " + quote(name) + " of the workbook expands to more than " +
                           std::to_string(largestRatio) + " times its packed size, as no table does");
        }
    }
    return std::nullopt;
}

bool WorkbookArchive::has(const std::string& part) const {
    return zip_name_locate(archive_.get(), part.c_str(), ZIP_FL_NOCASE) >= 0;
}

Result<PartStream> WorkbookArchive::stream(const std::string& part) const {
    // Names of parts do not tell capitals from small letters (ECMA-376 part 2, 6.2.2.3).
    zip_int64_t index = zip_name_locate(archive_.get(), part.c_str(), 0);
    if (index < 0) {
        index = zip_name_locate(archive_.get(), part.c_str(), ZIP_FL_NOCASE);
    }
    zip_stat_t status;
    if (index < 0 || zip_stat_index(archive_.get(), static_cast<zip_uint64_t>(index), 0, &status) != 0) {
        return damagedWorkbook(file_, "the workbook has no part " + quote(part));
    }
    PartStream stream;
    stream.file_.reset(zip_fopen_index(archive_.get(), static_cast<zip_uint64_t>(index), 0));
    if (!stream.file_) {
        return damagedWorkbook(file_, "the part " + quote(part) + " of the workbook cannot be read: " +
                                          reasonOf(*zip_get_error(archive_.get())));
    }
    stream.fileName_ = file_;
    stream.part_ = part;
    stream.declared_ = status.size;
    stream.limit_ = expandedBytes_;
    return stream;
}

std::optional<std::string> partName(std::string_view folder, std::string_view target) {
    std::string path = target.starts_with('/') ? std::string{target.substr(1)}
                                               : std::string{folder} + "/" + std::string{target};
    std::vector<std::string_view> steps;
    for (std::string_view rest = path; !rest.empty();) {
        const std::size_t slash = std::min(rest.find('/'), rest.size());
        const std::string_view step = rest.substr(0, slash);
        rest.remove_prefix(std::min(slash + 1, rest.size()));
        if (step == "..") {
            if (steps.empty()) {
                return std::nullopt;
            }
            steps.pop_back();
        } else if (!step.empty() && step != ".") {
            steps.push_back(step);
        }
    }
    std::string name;
    for (const std::string_view step : steps) {
        name += name.empty() ? "" : "/";
        name += step;
    }
    return name;
}

}  // namespace aftercurve
