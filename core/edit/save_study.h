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
/// Fails where the folder holds a study.json already, cannot be made or written, or the study names a file
/// outside it.
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
/// keys stay. On success the study's `inputs`, `studyJson` and the rows of its draws are those of the new
/// files. Fails, with the folder as it was, where a file was changed by another program since it was read,
/// the folder cannot be written, or the disk is full.
Result<Done> saveStudy(const std::filesystem::path& folder, Study& study,
                       std::span<const MadeChange> changes);

/// The CSV text of one samples file, of the subjects and of the visits, in canonical form: columns in the
/// order of `columnsOf` (those that no row uses left out), numbers in the shortest form that reads back
/// equal, LF.
std::string samplesCsv(const Study& study, std::uint32_t file);
std::string subjectsCsv(const Study& study);
std::string visitsCsv(const Study& study);

}  // namespace aftercurve
