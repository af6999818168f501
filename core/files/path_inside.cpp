#include "core/files/path_inside.h"

#include <algorithm>
#include <cerrno>
#include <optional>
#include <system_error>

#include "core/files/excerpt.h"
#include "core/files/problem_list.h"

namespace aftercurve {

namespace fs = std::filesystem;

namespace {

constexpr std::size_t longestName = 1000;

Problem leavesFolder(const std::string& name) {
    return problemAt(name, 0, {}, "the path " + quote(name) + " leads out of the study folder",
                     "put the file in the study folder and name it by a relative path");
}

Problem noFileName(const std::string& name) {
    return problemAt(name, 0, {}, quote(name) + " cannot be a file name", "name a file in the study folder");
}

Problem reserved(const std::string& name) {
    return problemAt(name, 0, {}, quote(name) + " is a name that the program keeps for itself",
                     "choose another name");
}

bool isInside(const fs::path& folder, const fs::path& resolved) {
    const auto ends = std::mismatch(folder.begin(), folder.end(), resolved.begin(), resolved.end());
    return ends.first == folder.end();
}

/// `name` without "." and "..", where its words alone do not lead out.
Result<fs::path> normalName(const std::string& name) {
    if (name.empty() || name.size() > longestName || hasControlCharacters(name)) {
        return noFileName(name);
    }
    const fs::path relative{name};
    const fs::path normal = relative.lexically_normal();
    if (relative.is_absolute() || *normal.begin() == "..") {
        return leavesFolder(name);
    }
    return normal;
}

}  // namespace

Problem cannotRead(const std::string& name, int error) {
    const bool absent = error == ENOENT || error == ENOTDIR;
    if (absent) {
        return problemAt(name, 0, {}, "the file " + quote(name) + " is not there",
                         "put it in the study folder or mend its name in study.json");
    }
    return problemAt(name, 0, {},
                     "the file " + quote(name) + " cannot be read: " + std::generic_category().message(error),
                     "check the file and its permissions");
}

Result<fs::path> resolveInside(const fs::path& folder, const std::string& name) {
    const Result<fs::path> normal = normalName(name);
    if (!normal) {
        return normal.problem();
    }
    std::error_code error;
    const fs::path root = fs::canonical(folder, error);
    if (error) {
        return cannotRead(name, error.value());
    }
    fs::path resolved = fs::canonical(root / normal.value(), error);
    if (error) {
        return cannotRead(name, error.value());
    }
    if (!isInside(root, resolved)) {
        return leavesFolder(name);
    }
    return resolved;
}

bool isReservedName(const fs::path& relative) {
    return std::any_of(relative.begin(), relative.end(),
                       [](const fs::path& part) { return part.string().starts_with(".aftercurve-"); });
}

Result<fs::path> resolveForWriting(const fs::path& folder, const std::string& name) {
    const Result<fs::path> normal = normalName(name);
    if (!normal) {
        return normal.problem();
    }
    const fs::path& relative = normal.value();
    if (!relative.has_filename() || relative == ".") {
        return noFileName(name);
    }
    if (isReservedName(relative)) {
        return reserved(name);
    }
    std::error_code error;
    const fs::path root = fs::canonical(folder, error);
    if (error) {
        return cannotRead(name, error.value());
    }
    const fs::path full = root / relative;
    fs::path resolved;
    if (fs::symlink_status(full, error).type() == fs::file_type::not_found) {
        resolved = fs::canonical(full.parent_path(), error) / full.filename();
    } else {
        resolved = fs::canonical(full, error);
        if (error == std::errc::no_such_file_or_directory) {
            return problemAt(name, 0, {}, quote(name) + " is a symbolic link that leads nowhere",
                             "remove the link, or put back the file that it leads to");
        }
    }
    if (error) {
        return cannotRead(name, error.value());
    }
    if (!isInside(root, resolved)) {
        return leavesFolder(name);
    }
    if (isReservedName(resolved.lexically_relative(root))) {
        return reserved(name);
    }
    return resolved;
}

}  // namespace aftercurve
