#pragma once

#include <filesystem>
#include <string>
#include <string_view>

#include "core/base/result.h"

namespace aftercurve {

/// Where `name` (as written in study.json) leads, if that is inside `folder`: the name must be relative, must
/// not climb out with "..", and every symbolic link on the way must end inside.
Result<std::filesystem::path> resolveInside(const std::filesystem::path& folder, const std::string& name);

/// The same for a file that is to be written and need not be there yet; its folder must. A link is followed,
/// so that it stays one; one that leads nowhere is refused, and so are the hidden files of isReservedName.
Result<std::filesystem::path> resolveForWriting(const std::filesystem::path& folder, const std::string& name);

/// Files that this program keeps for itself: any part of the path begins with ".aftercurve-".
bool isReservedName(const std::filesystem::path& relative);

/// The problem of a file `name` of the study folder that could not be opened or read; `error` is errno.
Problem cannotRead(const std::string& name, int error);

}  // namespace aftercurve
