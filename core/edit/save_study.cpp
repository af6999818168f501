#include "core/edit/save_study.h"

#include <algorithm>
#include <new>

#include "core/edit/laboratory_patch.h"
#include "core/edit/made_changes.h"
#include "core/edit/new_files.h"
#include "core/edit/origins.h"
#include "core/edit/read_back.h"
#include "core/edit/samples_patch.h"
#include "core/edit/study_json_patch.h"
#include "core/files/assays_csv.h"
#include "core/files/diary_csv.h"
#include "core/files/excerpt.h"
#include "core/files/fibre_csv.h"
#include "core/files/problem_list.h"
#include "core/files/read_file.h"
#include "core/files/sha256.h"
#include "core/files/staged_save.h"
#include "core/files/study_folder.h"

namespace aftercurve {

namespace fs = std::filesystem;

namespace {

class Saving {
  public:
    Saving(const fs::path& folder, const Study& study, std::span<const MadeChange> changes)
        : folder_(folder), now_(study), changes_(changes) {}

    /// The study as it is read from the new files.
    Result<Study> save() {
        if (const Result<Done> done = readOld(); !done) {
            return done.problem();
        }
        Result<Study> was = studyIn(oldViews());
        if (!was) {
            return was.problem();
        }
        nameNewFiles();
        if (const Result<Done> done = compose(was.value()); !done) {
            return done.problem();
        }
        Result<Study> read = readBack();
        if (!read) {
            return read.problem();
        }
        if (const Result<Done> done = write(std::move(was).value(), read.value().inputs); !done) {
            return done.problem();
        }
        return read;
    }

  private:
    struct OwnedFile {
        std::string name;
        std::string bytes;
    };

    Result<Done> readOld() {
        if (now_.inputs.empty()) {
            return problemAt({}, 0, {}, "the study was not read from a folder", "save it as a new study");
        }
        for (const InputFile& input : now_.inputs) {
            auto bytes = readInside(folder_, input.file, ReadLimits{}.samplesBytes);
            if (!bytes) {
                return bytes.problem();
            }
            if (sha256Hex(bytes.value().view()) != input.sha256) {
                return problemAt(
                    input.file, 0, {},
                    "the file " + quote(input.file) + " was changed by another program since it was read",
                    "open the study again, and make the changes there");
            }
            old_.push_back({input.file, std::move(bytes).value()});
        }
        return Done{};
    }

    struct OldFile {
        std::string name;
        FileBytes bytes;
    };

    std::vector<StudyFile> oldViews() const {
        std::vector<StudyFile> views;
        for (const OldFile& file : old_) {
            views.push_back({file.name, file.bytes.view()});
        }
        return views;
    }

    std::string_view oldBytes(const std::string& name) const {
        const auto found =
            std::find_if(old_.begin(), old_.end(), [&](const OldFile& file) { return file.name == name; });
        return found == old_.end() ? std::string_view{} : found->bytes.view();
    }

    /// A table that has no file yet gets one where it is needed.
    void nameNewFiles() {
        if (now_.subjectsFile.empty() && needsSubjectsFile(now_)) {
            now_.subjectsFile = freeFileName(folder_, "subjects");
        }
        if (now_.visitsFile.empty() && !now_.visits.empty()) {
            now_.visitsFile = freeFileName(folder_, "visits");
        }
        if (now_.fibre.file.empty() && !now_.fibre.results.empty()) {
            now_.fibre.file = freeFileName(folder_, "fibre");
        }
        if (now_.diary.file.empty() && !now_.diary.days.empty()) {
            now_.diary.file = freeFileName(folder_, "diary");
        }
        if (now_.assays.file.empty() && now_.assays != AssayData{}) {
            now_.assays.file = freeFileName(folder_, "assays");
        }
    }

    Result<Done> compose(const Study& was) {
        const Origins origins = originsOf(was, now_, changes_);
        Result<PatchedStudyJson> json = patchedStudyJson(oldBytes(studyFileName), was, now_, origins);
        if (!json) {
            return json.problem();
        }
        keptName_ = json.value().keptName;
        files_.push_back({studyFileName, std::move(json).value().text});
        std::vector<std::string_view> samples;
        for (const std::string& name : now_.sampleFiles) {
            samples.push_back(oldBytes(name));
        }
        Result<std::vector<std::string>> patched =
            patchedSamples(oldBytes(studyFileName), samples, was, now_, origins);
        if (!patched) {
            return patched.problem();
        }
        for (std::size_t i = 0; i < now_.sampleFiles.size(); ++i) {
            files_.push_back({now_.sampleFiles[i], std::move(patched.value()[i])});
        }
        if (!now_.subjectsFile.empty()) {
            files_.push_back(
                {now_.subjectsFile, was.subjectsFile.empty()
                                        ? subjectsCsv(now_)
                                        : patchedSubjects(oldBytes(was.subjectsFile), was, now_, origins)});
        }
        if (!now_.visitsFile.empty()) {
            files_.push_back({now_.visitsFile,
                              was.visitsFile.empty()
                                  ? visitsCsv(now_)
                                  : patchedByLine(oldBytes(was.visitsFile), was, now_, StudyTable::visits)});
        }
        return composeLaboratory(was, origins);
    }

    /// The files of the assays, of fibre and of the diary.
    Result<Done> composeLaboratory(const Study& was, const Origins& origins) {
        if (!now_.assays.file.empty()) {
            const bool known = was.assays.file == now_.assays.file;
            files_.push_back({now_.assays.file,
                              known ? patchedByLine(oldBytes(now_.assays.file), was, now_, StudyTable::assays)
                                    : assaysCsv(now_.assays)});
        }
        if (!now_.fibre.file.empty()) {
            const bool known = was.fibre.file == now_.fibre.file;
            files_.push_back({now_.fibre.file,
                              known ? patchedByLine(oldBytes(now_.fibre.file), was, now_, StudyTable::fibre)
                                    : fibreCsv(now_)});
        }
        if (!now_.diary.file.empty()) {
            const bool known = was.diary.file == now_.diary.file;
            Result<std::string> text = known ? patchedDiary(oldBytes(now_.diary.file), was, now_, origins)
                                             : Result<std::string>{diaryCsv(now_.diary)};
            if (!text) {
                return text.problem();
            }
            files_.push_back({now_.diary.file, std::move(text).value()});
        }
        return Done{};
    }

    /// What will be read is compared before a byte is written.
    Result<Study> readBack() const {
        std::vector<StudyFile> views;
        for (const OwnedFile& file : files_) {
            views.push_back({file.name, file.bytes});
        }
        return readBackAs(now_, views);
    }

    Result<Done> write(Study was, const std::vector<InputFile>& inputs) {
        std::vector<NewFile> changed;
        for (const OwnedFile& file : files_) {
            if (oldBytes(file.name) != file.bytes || !wasThere(file.name)) {
                changed.push_back({file.name, file.bytes});
            }
        }
        if (changed.empty() && changes_.empty()) {
            return Done{};
        }
        if (!keptName_.empty() && !isInFolder(folder_, keptName_)) {
            changed.push_back({keptName_, oldBytes(studyFileName)});
        }
        std::vector<LedgerEntry> entries = ledgerEntriesFor(std::move(was), changes_);
        if (entries.empty()) {
            entries.emplace_back().what = "files";
        }
        entries.back().inputs = inputs;
        const Result<Ledger> ledger = readLedger(folder_);
        if (!ledger) {
            return ledger.problem();
        }
        const Result<std::string> lines = appendedLedger(ledger.value(), entries);
        if (!lines) {
            return lines.problem();
        }
        changed.push_back({ledgerName, lines.value()});
        return saveTogether(folder_, changed, UnsavedLog::discard);
    }

    bool wasThere(const std::string& name) const {
        return std::any_of(old_.begin(), old_.end(), [&](const OldFile& file) { return file.name == name; });
    }

    const fs::path& folder_;
    Study now_;
    std::span<const MadeChange> changes_;
    std::vector<OldFile> old_;
    std::vector<OwnedFile> files_;
    std::string keptName_;
};

}  // namespace

Result<Done> saveStudy(const fs::path& folder, Study& study, std::span<const MadeChange> changes) {
    try {
        Result<Study> saved = Saving{folder, study, changes}.save();
        if (!saved) {
            return saved.problem();
        }
        study = std::move(saved).value();
        return Done{};
    } catch (const std::bad_alloc&) {
        return problemAt({}, 0, {}, "there is not enough memory to save the study",
                         "close other programs, and save again");
    }
}

}  // namespace aftercurve
