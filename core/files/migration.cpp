#include "core/files/migration.h"

#include <array>
#include <utility>

#include "core/files/json_object.h"
#include "core/files/problem_list.h"

namespace aftercurve {

namespace {

constexpr const char* studyJsonName = "study.json";

using Step = Json (*)(Json);

/// Version 2 adds keys; what version 1 says means the same in it.
Json fromVersion1(Json root) {
    root["version"] = 2;
    return root;
}

/// Step i leads from version oldestStudyVersion + i to the next.
constexpr std::array<Step, studyVersion - oldestStudyVersion> steps{fromVersion1};

Problem versionProblem(const std::string& what, const std::string& remedy) {
    return problemAt(studyJsonName, 0, "version", "version " + what, remedy);
}

}  // namespace

Result<std::int64_t> studyVersionOf(const Json& root) {
    const auto found = root.find("version");
    const std::string readable = "this program reads the versions " + std::to_string(oldestStudyVersion) +
                                 " to " + std::to_string(studyVersion);
    if (found == root.end() || found->is_null()) {
        return versionProblem("is missing", "add \"version\": " + std::to_string(studyVersion));
    }
    const bool newer = found->is_number() && found->get<double>() > static_cast<double>(studyVersion);
    if (newer) {
        return versionProblem(
            "is " + shown(*found) + ": the study was written by a newer program; " + readable,
            "open it with a program that reads that version");
    }
    if (!found->is_number_integer() || *found < oldestStudyVersion) {
        return versionProblem("is " + shown(*found) + "; " + readable, "mend it in study.json");
    }
    return found->get<std::int64_t>();
}

Result<Json> migratedStudy(Json root) {
    const Result<std::int64_t> version = studyVersionOf(root);
    if (!version) {
        return version.problem();
    }
    for (std::int64_t at = version.value(); at < studyVersion; ++at) {
        root = steps[static_cast<std::size_t>(at - oldestStudyVersion)](std::move(root));
    }
    return root;
}

std::string keptVersionName(std::int64_t version) {
    return "study.version-" + std::to_string(version) + ".json";
}

}  // namespace aftercurve
