#include "core/bundle/bundle_reader.h"

#include <algorithm>
#include <system_error>
#include <utility>

#include "core/bundle/bundle_folder.h"
#include "core/files/atomic_write.h"
#include "core/files/excerpt.h"
#include "core/files/problem_list.h"

namespace aftercurve {

namespace fs = std::filesystem;

Result<BundleReader> BundleReader::open(const fs::path& path, const BundleLimits& limits) {
    BundleReader reader;
    std::error_code error;
    if (fs::is_directory(path, error)) {
        reader.folder_ = path;
        auto items = bundleFolderItems(path, limits);
        if (!items) {
            return items.problem();
        }
        reader.items_ = std::move(items).value();
        return reader;
    }
    auto bytes = readAnywhere(path, limits.archiveBytes);
    if (!bytes) {
        return bytes.problem();
    }
    reader.bytes_ = std::make_unique<FileBytes>(std::move(bytes).value());
    auto archive = BundleArchive::open(reader.bytes_->view(), limits);
    if (!archive) {
        Problem problem = archive.problem();
        problem.file = printable(path.filename().string());
        return problem;
    }
    reader.archive_ = std::move(archive).value();
    reader.items_ = reader.archive_->items();
    return reader;
}

std::optional<std::size_t> BundleReader::find(std::string_view name) const {
    const auto found =
        std::find_if(items_.begin(), items_.end(), [&](const BundleItem& item) { return item.name == name; });
    return found == items_.end() ? std::nullopt
                                 : std::optional{static_cast<std::size_t>(found - items_.begin())};
}

Result<std::string> BundleReader::read(std::size_t item) const {
    return archive_ ? archive_->read(item) : readBundleFolderItem(folder_, items_[item]);
}

bool isZipPath(const fs::path& path) {
    std::string ending = path.extension().string();
    std::transform(ending.begin(), ending.end(), ending.begin(),
                   [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
    return ending == ".zip";
}

Result<Done> writeBundle(const fs::path& path, std::span<const BundleFile> files) {
    if (!isZipPath(path)) {
        return writeBundleFolder(path, files);
    }
    const auto bytes = zippedBundle(files);
    if (!bytes) {
        return bytes.problem();
    }
    const auto back = BundleArchive::open(bytes.value(), {});
    if (!back) {
        return problemAt(path.string(), 0, {},
                         "the archive would be refused on reading: " + back.problem().what,
                         "write the bundle into a folder");
    }
    return writeAtomically(path, bytes.value());
}

}  // namespace aftercurve
