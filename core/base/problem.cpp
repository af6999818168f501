#include "core/base/problem.h"

#include <algorithm>

namespace aftercurve {

std::string placeOf(const Problem& problem) {
    if (problem.file.empty() || problem.row == 0) {
        return problem.file;
    }
    return problem.file + ":" + std::to_string(problem.row);
}

std::string_view nameOf(Severity severity) {
    switch (severity) {
        case Severity::note:
            return "note";
        case Severity::warning:
            return "warning";
        case Severity::error:
            return "error";
    }
    return "error";
}

std::string acceptedText(const Problem& problem) {
    return problem.acceptedBecause.empty() ? std::string{} : " (accepted: " + problem.acceptedBecause + ")";
}

std::string lineFor(const Problem& problem) {
    std::string line{nameOf(problem.severity)};
    line += ": ";
    if (const std::string place = placeOf(problem); !place.empty()) {
        line += place + ": ";
    }
    line += problem.what;
    if (!problem.remedy.empty()) {
        line += "; " + problem.remedy;
    }
    line += acceptedText(problem);
    std::replace_if(
        line.begin(), line.end(), [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7f; },
        ' ');
    return line;
}

std::size_t errorCount(const std::vector<Problem>& problems) {
    return static_cast<std::size_t>(std::count_if(
        problems.begin(), problems.end(), [](const Problem& p) { return p.severity == Severity::error; }));
}

}  // namespace aftercurve
