#include "core/files/study_folder.h"

#include <algorithm>
#include <new>
#include <system_error>

#include "core/files/assays_csv.h"
#include "core/files/diary_csv.h"
#include "core/files/excerpt.h"
#include "core/files/exclusion_json.h"
#include "core/files/fibre_csv.h"
#include "core/files/ledger.h"
#include "core/files/migration.h"
#include "core/files/plan_json.h"
#include "core/files/read_file.h"
#include "core/files/registered_plan_json.h"
#include "core/files/samples_csv.h"
#include "core/files/save_record.h"
#include "core/files/sha256.h"
#include "core/files/staged_save.h"
#include "core/files/study_json.h"
#include "core/files/subjects_csv.h"
#include "core/files/text_check.h"
#include "core/files/visits_csv.h"

namespace aftercurve {

namespace fs = std::filesystem;

namespace {

constexpr const char* studyJsonName = "study.json";

class FolderReading {
  public:
    FolderReading(const fs::path& folder, const ReadLimits& limits,
                  const std::function<bool(double)>& progress)
        : folder_(folder), limits_(limits), progress_(progress), problems_(limits.problemsListed) {}

    StudyReading read() {
        std::optional<Study> study;
        try {
            study = readAll();
        } catch (const std::bad_alloc&) {
            fail(problemAt({}, 0, {}, "there is not enough memory to read the study",
                           "close other programs, or split it"));
        } catch (const fs::filesystem_error& error) {
            fail(problemAt({}, 0, {}, "the study folder cannot be read: " + error.code().message(),
                           "check its path and permissions"));
        }
        if (problems_.failed()) {
            study.reset();
        }
        return {std::move(study), problems_.take()};
    }

  private:
    void fail(Problem problem) { problems_.add(Weight::fatal, std::move(problem)); }

    bool isFolder() {
        std::error_code error;
        if (fs::is_directory(folder_, error)) {
            return true;
        }
        const std::string name = printable(folder_.string());
        fail(problemAt({}, 0, {},
                       fs::exists(folder_, error) ? name + " is not a folder" : "there is no folder " + name,
                       "name the folder that holds study.json"));
        return false;
    }

    std::optional<Study> readAll() {
        if (!isFolder()) {
            return std::nullopt;
        }
        const auto json = readInside(folder_, studyJsonName, limits_.studyJsonBytes);
        if (!json) {
            fail(json.problem());
            return std::nullopt;
        }
        auto declared = readStudyJson(json.value().view(), limits_, problems_);
        if (!declared) {
            return std::nullopt;
        }
        Study& study = declared->study;
        study.inputs.push_back({studyJsonName, sha256Hex(json.value().view())});
        const auto subjectsInput = readSubjects(study);
        for (const std::string& file : study.sampleFiles) {
            totalBytes_ += static_cast<double>(sizeInside(folder_, file));
        }
        SamplesReader samples{study, std::move(declared->conversions), limits_, problems_};
        for (std::uint32_t file = 0; file < study.sampleFiles.size(); ++file) {
            if (!readSamples(study, file, samples)) {
                fail(problemAt(study.sampleFiles[file], 0, {}, "the reading was stopped"));
                return std::nullopt;
            }
        }
        if (subjectsInput) {
            study.inputs.push_back(*subjectsInput);
        }
        readBeside(study, study.visitsFile, readVisitsCsv);
        readBeside(study, study.assays.file, readAssaysCsv);
        readBeside(study, study.fibre.file, readFibreCsv);
        readBeside(study, study.diary.file, readDiaryCsv);
        if (!problems_.failed()) {
            samples.finish();
            warnUnknownSubjects(study);
            noteSaving(study);
        }
        if (progress_) {
            progress_(1.0);
        }
        return std::move(study);
    }

    std::optional<InputFile> readSubjects(Study& study) {
        if (study.subjectsFile.empty()) {
            return std::nullopt;
        }
        const auto bytes = readInside(folder_, study.subjectsFile, limits_.samplesBytes);
        if (!bytes) {
            fail(bytes.problem());
            return std::nullopt;
        }
        readSubjectsCsv(bytes.value().view(), study.subjectsFile, limits_, study, problems_);
        return InputFile{study.subjectsFile, sha256Hex(bytes.value().view())};
    }

    using TableReader = void (*)(std::string_view bytes, std::string_view file, const ReadLimits& limits,
                                 Study& study, ProblemList& problems);

    /// A table beside the samples, after them: it refers to their subjects.
    void readBeside(Study& study, const std::string& file, TableReader reader) {
        if (file.empty() || problems_.failed()) {
            return;
        }
        const auto bytes = readInside(folder_, file, limits_.samplesBytes);
        if (!bytes) {
            fail(bytes.problem());
            return;
        }
        reader(bytes.value().view(), file, limits_, study, problems_);
        study.inputs.push_back({file, sha256Hex(bytes.value().view())});
    }

    /// The first half of a file's share of the progress is reading its bytes, the second is making draws of
    /// them.
    bool report(double bytes) {
        return !progress_ ||
               progress_(totalBytes_ > 0.0 ? std::min(1.0, (doneBytes_ + bytes / 2.0) / totalBytes_) : 0.0);
    }

    /// False where the reading was stopped.
    bool readSamples(Study& study, std::uint32_t file, SamplesReader& samples) {
        const std::string& name = study.sampleFiles[file];
        bool stopped = false;
        const auto bytes =
            readInside(folder_, name, limits_.samplesBytes, [&](std::string_view soFar, std::size_t newest) {
                stopped = !report(static_cast<double>(soFar.size()));
                // What is not text is refused later; there is no need to read a gigabyte of it.
                const bool text = soFar.substr(soFar.size() - newest).find('\0') == std::string_view::npos;
                return !stopped && text;
            });
        if (stopped) {
            return false;
        }
        if (!bytes) {
            fail(bytes.problem());
            return true;
        }
        const std::string_view view = bytes.value().view();
        const auto size = static_cast<double>(view.size());
        const bool finished = samples.read(
            view, file, [&](std::size_t done) { return report(size + static_cast<double>(done)); });
        study.inputs.push_back({name, sha256Hex(view)});
        doneBytes_ += size;
        return finished;
    }

    void warnUnknownSubjects(const Study& study) {
        IdIndex ids;
        for (std::size_t i = 0; i < study.subjects.size(); ++i) {
            ids.add(study.subjects[i].id, static_cast<std::uint32_t>(i));
        }
        for (std::size_t i = 0; i < study.exclusions.size(); ++i) {
            const std::string& subject = study.exclusions[i].subject;
            if (!subject.empty() && !ids.find(subject)) {
                const std::string path = "exclusions[" + std::to_string(i) + "].subject";
                Problem problem = problemAt(
                    studyJsonName, 0, path,
                    path + " is " + quote(subject) + ", which is not in the study; the entry matches nothing",
                    "check the spelling");
                problem.subject = subject;
                problems_.add(Weight::warning, std::move(problem));
            }
        }
    }

    /// What the ledger and an interrupted save have to say about the files that were read.
    void noteSaving(const Study& study) {
        if (const auto staging = findStaging(folder_); staging && staging.value().record) {
            problems_.add(Weight::note,
                          problemAt(stagingName, 0, {},
                                    "the last save was interrupted after it was committed; the saved files "
                                    "are read",
                                    "the next save puts them in their place"));
        }
        for (Problem& problem : ledgerProblems(folder_, study.inputs)) {
            problems_.add(Weight::warning, std::move(problem));
        }
    }

    const fs::path& folder_;
    const ReadLimits& limits_;
    const std::function<bool(double)>& progress_;
    ProblemList problems_;
    double totalBytes_ = 0.0;
    double doneBytes_ = 0.0;
};

/// study.json as it is to be, and the version that it had.
struct NewStudyJson {
    std::string text;
    std::int64_t oldVersion = studyVersion;
};

Result<NewStudyJson> studyJsonWith(std::string_view bytes, const Study& study) {
    const Result<std::string_view> text = checkedText(bytes, studyJsonName);
    if (!text) {
        return text.problem();
    }
    Result<Json> parsed = parseJson(text.value(), studyJsonName, ReadLimits{}.studyJsonDepth);
    if (!parsed) {
        return parsed.problem();
    }
    const Json& found = parsed.value();
    const bool hasPlan = found.is_object() && found.contains("plan") && !found["plan"].is_null();
    if (!found.is_object() || (hasPlan && !found["plan"].is_object())) {
        return problemAt(studyJsonName, 0, hasPlan ? "plan" : "", "the file is no longer that of a study",
                         "open the study again");
    }
    const Result<std::int64_t> version = studyVersionOf(found);
    if (!version) {
        return version.problem();
    }
    Result<Json> migrated = migratedStudy(std::move(parsed).value());
    if (!migrated) {
        return migrated.problem();
    }
    Json root = std::move(migrated).value();
    if (!hasPlan) {
        root["plan"] = Json::object();
    }
    try {
        putPlan(study.plan, root["plan"]);
        putExclusions(study.exclusions, root);
        putAcceptances(study.accepted, root);
        putRegisteredPlans(study.registered, root);
        return NewStudyJson{root.dump(2) + "\n", version.value()};
    } catch (const Json::exception&) {
        return problemAt(studyJsonName, 0, "plan", "the plan or an exclusion holds text that is not UTF-8",
                         "mend the text");
    }
}

}  // namespace

StudyReading readStudyFolder(const fs::path& folder, const ReadLimits& limits,
                             const std::function<bool(double)>& progress) {
    return FolderReading{folder, limits, progress}.read();
}

Result<Done> savePlan(const fs::path& folder, const Study& study) {
    const auto bytes = readInside(folder, studyJsonName, ReadLimits{}.studyJsonBytes);
    if (!bytes) {
        return bytes.problem();
    }
    const Result<NewStudyJson> json = studyJsonWith(bytes.value().view(), study);
    if (!json) {
        return json.problem();
    }
    std::vector<NewFile> files{{studyJsonName, json.value().text}};
    const std::string keptName = keptVersionName(json.value().oldVersion);
    std::error_code error;
    const bool kept = fs::symlink_status(folder / keptName, error).type() != fs::file_type::not_found;
    if (json.value().oldVersion < studyVersion && !kept) {
        files.push_back({keptName, bytes.value().view()});
    }
    return saveTogether(folder, files);
}

}  // namespace aftercurve
