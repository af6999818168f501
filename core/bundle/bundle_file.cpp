#include "core/bundle/bundle_file.h"

#include <algorithm>

#include "core/files/excerpt.h"

namespace aftercurve {

namespace {

constexpr std::size_t longestName = 500;
constexpr std::size_t mostParts = 16;

}  // namespace

std::optional<std::string> faultOfBundleName(std::string_view name) {
    if (name.empty()) {
        return "it is empty";
    }
    if (name.size() > longestName) {
        return "it is longer than " + std::to_string(longestName) + " bytes";
    }
    if (hasControlCharacters(name)) {
        return "it has control characters, or bytes that are not UTF-8";
    }
    if (name.front() == '/') {
        return "it is not relative";
    }
    if (name.find_first_of("\\:") != std::string_view::npos) {
        return "it has a backslash or a colon";
    }
    std::size_t parts = 0;
    for (std::string_view rest = name;; ++parts) {
        const std::size_t slash = std::min(rest.find('/'), rest.size());
        const std::string_view part = rest.substr(0, slash);
        if (part == "..") {
            return "it leads out of the bundle";
        }
        if (part.empty()) {
            return "a part of it is empty";
        }
        if (part.front() == '.') {
            return "it is a hidden file, or in a hidden folder";
        }
        if (part.back() == '.' || part.back() == ' ') {
            return "a part of it ends with a blank or a full stop";
        }
        if (slash == rest.size()) {
            break;
        }
        rest.remove_prefix(slash + 1);
    }
    if (parts >= mostParts) {
        return "it has more than " + std::to_string(mostParts) + " parts";
    }
    return std::nullopt;
}

}  // namespace aftercurve
