#include "core/edit/read_back.h"

#include <algorithm>
#include <cmath>

#include "core/files/assays_csv.h"
#include "core/files/diary_csv.h"
#include "core/files/diary_json.h"
#include "core/files/excerpt.h"
#include "core/files/samples_csv.h"
#include "core/files/sha256.h"
#include "core/files/study_json.h"
#include "core/files/subjects_csv.h"
#include "core/files/visits_csv.h"

namespace aftercurve {

namespace {

constexpr double roundingShare = 1e-14;

bool near(double a, double b) {
    return a == b || std::abs(a - b) <= roundingShare * std::max(std::abs(a), std::abs(b));
}

bool near(const std::optional<double>& a, const std::optional<double>& b) {
    return a && b ? near(*a, *b) : a.has_value() == b.has_value();
}

std::string_view bytesOf(std::span<const StudyFile> files, const std::string& name) {
    const auto found =
        std::find_if(files.begin(), files.end(), [&](const StudyFile& file) { return file.name == name; });
    return found == files.end() ? std::string_view{} : found->bytes;
}

Problem firstFatal(ProblemList& problems) {
    std::vector<Problem> list = problems.take();
    const auto found = std::find_if(
        list.begin(), list.end(), [](const Problem& problem) { return problem.severity == Severity::error; });
    return found == list.end() ? list.front() : *found;
}

bool sameDraw(const Draw& a, const Draw& b) {
    Draw moved = a;
    moved.row = b.row;
    return moved == b;
}

bool sameVisit(const VisitRecord& a, const VisitRecord& b) {
    VisitRecord moved = a;
    moved.row = b.row;
    return moved == b;
}

bool sameDay(const DiaryDay& a, const DiaryDay& b) {
    DiaryDay moved = a;
    moved.row = b.row;
    return moved == b;
}

bool sameAssays(AssayData a, AssayData b) {
    for (AssayData* one : {&a, &b}) {
        for (AssayReading& reading : one->readings) {
            reading.row = 0;
        }
    }
    return a == b;
}

template <class List, class Same>
bool equalBy(const List& a, const List& b, Same same) {
    return std::equal(a.begin(), a.end(), b.begin(), b.end(), same);
}

}  // namespace

Result<Study> studyIn(std::span<const StudyFile> files) {
    const ReadLimits limits;
    ProblemList problems{20};
    auto declared = readStudyJson(bytesOf(files, studyFileName), limits, problems);
    if (!declared) {
        return firstFatal(problems);
    }
    Study& study = declared->study;
    const auto input = [&](const std::string& name) {
        study.inputs.push_back({name, sha256Hex(bytesOf(files, name))});
    };
    input(studyFileName);
    if (!study.subjectsFile.empty()) {
        readSubjectsCsv(bytesOf(files, study.subjectsFile), study.subjectsFile, limits, study, problems);
    }
    SamplesReader samples{study, std::move(declared->conversions), limits, problems};
    for (std::uint32_t file = 0; file < study.sampleFiles.size(); ++file) {
        samples.read(bytesOf(files, study.sampleFiles[file]), file);
        input(study.sampleFiles[file]);
    }
    if (!study.subjectsFile.empty()) {
        input(study.subjectsFile);
    }
    if (!study.visitsFile.empty() && !problems.failed()) {
        readVisitsCsv(bytesOf(files, study.visitsFile), study.visitsFile, limits, study, problems);
        input(study.visitsFile);
    }
    if (!study.diary.file.empty() && !problems.failed()) {
        readDiaryCsv(bytesOf(files, study.diary.file), study.diary.file, limits, study, problems);
        input(study.diary.file);
    }
    if (!study.assays.file.empty() && !problems.failed()) {
        readAssaysCsv(bytesOf(files, study.assays.file), study.assays.file, limits, study, problems);
        input(study.assays.file);
    }
    if (!problems.failed()) {
        samples.finish();
    }
    if (problems.failed()) {
        return firstFatal(problems);
    }
    return std::move(study);
}

std::optional<std::string> differenceBetween(const Study& study, const Study& read) {
    const auto sameLimit = [](const BelowLimit& a, const BelowLimit& b) {
        return a.draw == b.draw && a.analyte == b.analyte && near(a.limit, b.limit);
    };
    struct Check {
        bool same;
        const char* what;
    };
    const Check checks[] = {
        {study.title == read.title, "the title"},
        {study.foods == read.foods, "the foods"},
        {study.analytes == read.analytes, "the analytes"},
        {study.subjects == read.subjects, "the subjects"},
        {study.sampleFiles == read.sampleFiles && study.subjectsFile == read.subjectsFile &&
             study.visitsFile == read.visitsFile,
         "the names of the files"},
        {equalBy(study.draws, read.draws, sameDraw), "the rows of the samples"},
        {study.nominalMin == read.nominalMin, "the nominal times"},
        {study.replicate == read.replicate, "the determinations"},
        {equalBy(study.belowLimit, read.belowLimit, sameLimit), "the limits of quantification"},
        {study.remarks == read.remarks, "the remarks"},
        {study.flaws == read.flaws, "the cells that are no numbers"},
        {equalBy(study.visits, read.visits, sameVisit), "the visits"},
        {sameBesideDays(study.diary, read.diary) && equalBy(study.diary.days, read.diary.days, sameDay),
         "the diary"},
        {sameAssays(study.assays, read.assays), "the assays"},
        {study.exclusions == read.exclusions, "the exclusions"},
        {study.accepted == read.accepted, "the accepted warnings"},
        {study.registered == read.registered, "the registered plans"},
        {study.plan == read.plan, "the plan"},
        {study.concentrations.size() == read.concentrations.size(), "the concentrations"},
    };
    for (const Check& check : checks) {
        if (!check.same) {
            return check.what;
        }
    }
    for (std::size_t i = 0; i < study.concentrations.size(); ++i) {
        if (!equalBy(study.concentrations[i], read.concentrations[i],
                     [](const auto& a, const auto& b) { return near(a, b); })) {
            return "the concentrations of " + shortened(study.analytes[i].id);
        }
    }
    return std::nullopt;
}

Result<Study> readBackAs(const Study& wanted, std::span<const StudyFile> files) {
    const ReadLimits limits;
    for (const StudyFile& file : files) {
        const std::uintmax_t most = file.name == studyFileName ? limits.studyJsonBytes : limits.samplesBytes;
        if (file.bytes.size() > most) {
            return problemAt(file.name, 0, {},
                             "the file would have " + std::to_string(file.bytes.size()) +
                                 " bytes, more than the " + std::to_string(most) + " that are read",
                             "split the study");
        }
    }
    Result<Study> read = studyIn(files);
    if (!read) {
        Problem problem = read.problem();
        problem.what = "the study cannot be saved, since it could not be read again: " + problem.what;
        return problem;
    }
    if (const auto difference = differenceBetween(wanted, read.value())) {
        return problemAt({}, 0, {},
                         "the study cannot be saved: " + *difference + " would be read back otherwise",
                         "undo the last changes, and save again");
    }
    return read;
}

}  // namespace aftercurve
