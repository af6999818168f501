#pragma once

#include <filesystem>
#include <span>
#include <string>
#include <vector>

#include "core/base/result.h"
#include "core/edit/edit.h"
#include "core/study/study.h"

namespace aftercurve {

/// Writes a study that has no folder yet: study.json and the CSV files that it names, all of them or none.
/// The folder is made where it is not there. Where the study names no file for its samples, or for subjects
/// or visits that need one, it is "samples.csv", "subjects.csv", "visits.csv". Fails where the folder holds
/// one of these files already, cannot be made or written, the study names a file outside it, or holds what
/// could not be read again as it is (no sample, no food, no analyte).
Result<Done> writeNewStudy(const std::filesystem::path& folder, const Study& study);

/// A change as it was made, for the ledger.
struct MadeChange {
    Change change;
    std::string text;  ///< describe(before, change)
    std::string from;  ///< the old text of a cell, or of a row, or of the list
    std::string to;
    std::string by;
    std::string on;  ///< ISO 8601, UTC
    std::string why;
};

/// Writes the present state of a study over the folder it was read from, and the changes that led there to
/// its ledger, as one act (all or nothing). Cells that did not change keep their bytes; unknown columns and
/// keys stay; a row that was added stands where it is in the study. On success the study is what the new
/// files are read as: its `inputs`, `studyJson` and rows are theirs, and a concentration that its column's
/// unit cannot give exactly is the nearest one that it can. The order of all tables stays, so that changes
/// made before can still be taken back. `changes` are all since the last save; they also tell a renamed food,
/// analyte or subject from a new one. The log of unsaved edits (core/files/recovery_log.h) is discarded.
/// Fails, with the folder and the study as they were, where a file was changed by another program since it
/// was read, the folder cannot be written, the disk is full, or the new files would be read as another study
/// (readBackAs), which a person should never see.
Result<Done> saveStudy(const std::filesystem::path& folder, Study& study,
                       std::span<const MadeChange> changes);

/// The CSV text of one samples file, of the subjects and of the visits, in canonical form: columns in the
/// order of `columnsOf` (those that no row uses left out), numbers in the shortest form that reads back
/// equal, LF.
std::string samplesCsv(const Study& study, std::uint32_t file);
std::string subjectsCsv(const Study& study);
std::string visitsCsv(const Study& study);

}  // namespace aftercurve
