#include "core/files/changed_on_disk.h"

#include <system_error>

#include "core/files/file_hash.h"

namespace aftercurve {

namespace fs = std::filesystem;

std::vector<ChangedFile> filesChanged(const fs::path& folder, std::span<const InputFile> inputs) {
    std::vector<ChangedFile> changed;
    for (const InputFile& input : inputs) {
        const Result<std::string> hash = sha256Inside(folder, input.file);
        std::error_code error;
        if (!hash) {
            const bool missing = fs::status(folder / input.file, error).type() == fs::file_type::not_found;
            changed.push_back(missing ? ChangedFile{input.file, FileChange::missing, {}}
                                      : ChangedFile{input.file, FileChange::unreadable, hash.problem()});
        } else if (hash.value() != input.sha256) {
            changed.push_back({input.file, FileChange::changed, {}});
        }
    }
    return changed;
}

}  // namespace aftercurve
