#include "core/bundle/bundle_study.h"

#include <algorithm>
#include <cerrno>
#include <cstdlib>
#include <system_error>
#include <utility>

#include "core/base/progress_part.h"
#include "core/files/atomic_write.h"
#include "core/files/excerpt.h"
#include "core/files/file_hash.h"
#include "core/files/ledger.h"
#include "core/files/problem_list.h"
#include "core/files/read_file.h"
#include "core/files/study_folder.h"
#include "core/files/study_json.h"
#include "core/findings/analyse.h"

namespace aftercurve {

namespace fs = std::filesystem;

namespace {

constexpr const char* studyJsonName = "study.json";

/// A folder for one run, removed with all it holds.
class RunFolder {
  public:
    explicit RunFolder(fs::path path) : path_(std::move(path)) {}
    RunFolder(const RunFolder&) = delete;
    RunFolder& operator=(const RunFolder&) = delete;
    ~RunFolder() {
        std::error_code ignored;
        fs::remove_all(path_, ignored);
    }
    const fs::path& path() const { return path_; }

  private:
    fs::path path_;
};

Problem noRunFolder(const std::string& reason) {
    return problemAt({}, 0, {}, "there is no place for a temporary copy of the study: " + reason,
                     "check the folder for temporary files and the free space");
}

/// Where a file that study.json names stands in the bundle.
Result<std::string> bundleNameOf(const std::string& name) {
    const std::string normal = fs::path{name}.lexically_normal().generic_string();
    std::string inBundle = bundleStudyFolder + normal;
    if (const auto fault = faultOfBundleName(inBundle)) {
        return problemAt(name, 0, {}, "the name " + quote(name) + " cannot stand in a bundle: " + *fault,
                         "rename the file, in study.json too");
    }
    return inBundle;
}

Result<Done> addFile(const fs::path& folder, const std::string& name, std::vector<BundleFile>& files) {
    auto inBundle = bundleNameOf(name);
    if (!inBundle) {
        return inBundle.problem();
    }
    const bool there = std::any_of(files.begin(), files.end(),
                                   [&](const BundleFile& file) { return file.name == inBundle.value(); });
    if (there) {
        return Done{};
    }
    const auto bytes = readInside(folder, name, mostFileBytes);
    if (!bytes) {
        return bytes.problem();
    }
    files.push_back({std::move(inBundle).value(), std::string{bytes.value().view()}});
    return Done{};
}

}  // namespace

Result<std::vector<BundleFile>> bundleStudyFiles(const fs::path& folder) {
    std::error_code error;
    if (!fs::is_directory(folder, error)) {
        return problemAt({}, 0, {}, printable(folder.string()) + " is not a folder",
                         "name the folder that holds study.json");
    }
    std::vector<BundleFile> files;
    if (const auto done = addFile(folder, studyJsonName, files); !done) {
        return done.problem();
    }
    ReadLimits limits;
    ProblemList problems{limits.problemsListed};
    const auto declared = readStudyJson(files[0].bytes, limits, problems);
    if (!declared) {
        for (Problem& problem : problems.take()) {
            if (problem.severity == Severity::error) {
                return std::move(problem);
            }
        }
        return problemAt(studyJsonName, 0, {}, "study.json is no study");
    }
    std::vector<std::string> names = declared->study.sampleFiles;
    names.push_back(declared->study.subjectsFile);
    names.push_back(declared->study.visitsFile);
    names.push_back(declared->study.diary.file);
    names.push_back(declared->study.assays.file);
    names.push_back(declared->study.fibre.file);
    for (const std::string& name : names) {
        if (name.empty()) {
            continue;
        }
        if (const auto done = addFile(folder, name, files); !done) {
            return done.problem();
        }
    }
    auto ledger = readLedger(folder);
    if (!ledger) {
        return ledger.problem();
    }
    const std::string ledgerPlace = std::string{bundleStudyFolder} + ledgerName;
    if (!ledger.value().bytes.empty() &&
        std::none_of(files.begin(), files.end(),
                     [&](const BundleFile& file) { return file.name == ledgerPlace; })) {
        files.push_back({ledgerPlace, std::move(ledger).value().bytes});
    }
    return files;
}

BundledStudy analyseBundledStudy(std::span<const BundleFile> files, const Progress& progress) {
    BundledStudy result;
    std::error_code error;
    const fs::path temporary = fs::temp_directory_path(error);
    std::string name = (temporary / "aftercurve-bundle-XXXXXX").string();
    if (error || ::mkdtemp(name.data()) == nullptr) {
        result.problems.push_back(
            noRunFolder(error ? error.message() : std::generic_category().message(errno)));
        return result;
    }
    const RunFolder folder{name};
    for (const BundleFile& file : files) {
        if (!isInBundleFolder(file.name, bundleStudyFolder) || faultOfBundleName(file.name)) {
            continue;
        }
        const fs::path path = folder.path() / file.name.substr(std::string_view{bundleStudyFolder}.size());
        fs::create_directories(path.parent_path(), error);
        const auto done =
            error ? Result<Done>{noRunFolder(error.message())} : writeAtomically(path, file.bytes);
        if (!done) {
            result.problems.push_back(error ? done.problem() : noRunFolder(done.problem().what));
            return result;
        }
    }
    StudyReading reading = readStudyFolder(
        folder.path(), {}, [&](double fraction) { return !progress || progress(0.1 * fraction, "reading"); });
    if (!reading.study) {
        result.problems = std::move(reading.problems);
        return result;
    }
    auto findings =
        analyse(*reading.study, reading.study->plan, reading.problems, partOf(progress, 0.1, 1.0));
    if (!findings) {
        result.problems = std::move(reading.problems);
        result.problems.push_back(findings.problem());
        return result;
    }
    result.study = std::move(reading.study);
    result.findings = std::move(findings).value();
    return result;
}

}  // namespace aftercurve
