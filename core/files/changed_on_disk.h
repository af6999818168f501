#pragma once

#include <filesystem>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/base/problem.h"
#include "core/study/study.h"

namespace aftercurve {

enum class FileChange { changed, missing, unreadable };

struct ChangedFile {
    std::string file;
    FileChange how = FileChange::changed;
    std::optional<Problem> problem;  ///< why it cannot be read; there where unreadable

    bool operator==(const ChangedFile&) const = default;
};

/// Which of `inputs` (Study::inputs) are not on disk as they were read, by SHA-256, in their order. Reads
/// every file whole. A file that leads out of the folder by now, or is no regular file, is unreadable. A save
/// that was interrupted after it was committed counts as done.
std::vector<ChangedFile> filesChanged(const std::filesystem::path& folder, std::span<const InputFile> inputs);

}  // namespace aftercurve
