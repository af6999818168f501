#pragma once

#include <filesystem>
#include <string>

namespace aftercurve {

/// True where the folder has an entry of that name, whatever it is.
bool isInFolder(const std::filesystem::path& folder, const std::string& name);

/// A file name that the folder does not have: "visits.csv", "visits-2.csv", ... for the stem "visits".
std::string freeFileName(const std::filesystem::path& folder, const std::string& stem);

}  // namespace aftercurve
