#include <algorithm>
#include <new>
#include <system_error>

#include "core/edit/new_files.h"
#include "core/edit/read_back.h"
#include "core/edit/samples_patch.h"
#include "core/edit/save_study.h"
#include "core/edit/study_json_patch.h"
#include "core/files/assays_csv.h"
#include "core/files/diary_csv.h"
#include "core/files/excerpt.h"
#include "core/files/fibre_csv.h"
#include "core/files/path_inside.h"
#include "core/files/problem_list.h"
#include "core/files/staged_save.h"

namespace aftercurve {

namespace fs = std::filesystem;

namespace {

struct NamedText {
    std::string name;
    std::string text;
};

Study withFileNames(Study study) {
    if (study.sampleFiles.empty()) {
        study.sampleFiles = {"samples.csv"};
    }
    if (study.subjectsFile.empty() && needsSubjectsFile(study)) {
        study.subjectsFile = "subjects.csv";
    }
    if (study.visitsFile.empty() && !study.visits.empty()) {
        study.visitsFile = "visits.csv";
    }
    if (study.diary.file.empty() && !study.diary.days.empty()) {
        study.diary.file = "diary.csv";
    }
    if (study.assays.file.empty() && study.assays != AssayData{}) {
        study.assays.file = "assays.csv";
    }
    if (study.fibre.file.empty() && !study.fibre.results.empty()) {
        study.fibre.file = "fibre.csv";
    }
    return study;
}

/// The files of the study, read back and found equal to it.
Result<std::vector<NamedText>> filesOf(const Study& study) {
    Result<std::string> json = newStudyJson(study);
    if (!json) {
        return json.problem();
    }
    std::vector<NamedText> files{{studyFileName, std::move(json).value()}};
    for (std::uint32_t i = 0; i < study.sampleFiles.size(); ++i) {
        files.push_back({study.sampleFiles[i], samplesCsv(study, i)});
    }
    if (!study.subjectsFile.empty()) {
        files.push_back({study.subjectsFile, subjectsCsv(study)});
    }
    if (!study.visitsFile.empty()) {
        files.push_back({study.visitsFile, visitsCsv(study)});
    }
    if (!study.diary.file.empty()) {
        files.push_back({study.diary.file, diaryCsv(study.diary)});
    }
    if (!study.assays.file.empty()) {
        files.push_back({study.assays.file, assaysCsv(study.assays)});
    }
    if (!study.fibre.file.empty()) {
        files.push_back({study.fibre.file, fibreCsv(study)});
    }
    std::vector<StudyFile> views;
    for (const NamedText& file : files) {
        views.push_back({file.name, file.text});
    }
    if (study.foods.empty() || study.analytes.empty()) {
        return problemAt({}, 0, {},
                         study.foods.empty() ? "the study has no food" : "the study has no analyte",
                         "add one first");
    }
    const Result<Study> read = readBackAs(study, views);
    if (!read) {
        return read.problem();
    }
    return files;
}

/// Fails where a file would leave the folder, or is there already.
Result<Done> checkFree(const fs::path& folder, const std::vector<NamedText>& files) {
    for (const NamedText& file : files) {
        if (const auto path = resolveForWriting(folder, file.name); !path) {
            return path.problem();
        }
        if (isInFolder(folder, file.name)) {
            return problemAt(file.name, 0, {}, "the folder has a file " + quote(file.name) + " already",
                             "choose an empty folder");
        }
    }
    return Done{};
}

Result<Done> writeInto(const fs::path& folder, const std::vector<NamedText>& files) {
    if (Result<Done> free = checkFree(folder, files); !free) {
        return free;
    }
    std::vector<NewFile> views;
    for (const NamedText& file : files) {
        views.push_back({file.name, file.text});
    }
    return saveTogether(folder, views);
}

}  // namespace

bool isInFolder(const fs::path& folder, const std::string& name) {
    std::error_code error;
    return fs::symlink_status(folder / name, error).type() != fs::file_type::not_found;
}

std::string freeFileName(const fs::path& folder, const std::string& stem) {
    std::string name = stem + ".csv";
    for (int i = 2; isInFolder(folder, name); ++i) {
        name = stem + "-" + std::to_string(i) + ".csv";
    }
    return name;
}

Result<Done> writeNewStudy(const fs::path& folder, const Study& study) {
    try {
        const Result<std::vector<NamedText>> files = filesOf(withFileNames(study));
        if (!files) {
            return files.problem();
        }
        std::error_code error;
        const bool made = fs::create_directories(folder, error);
        if (error) {
            return problemAt(
                {}, 0, {}, "the folder " + printable(folder.string()) + " cannot be made: " + error.message(),
                "choose another place");
        }
        Result<Done> written = writeInto(folder, files.value());
        if (!written && made) {
            fs::remove(folder, error);  // goes where it is empty, as it was made
        }
        return written;
    } catch (const std::bad_alloc&) {
        return problemAt({}, 0, {}, "there is not enough memory to write the study",
                         "close other programs, and try again");
    }
}

}  // namespace aftercurve
