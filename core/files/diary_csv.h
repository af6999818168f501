#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "core/files/problem_list.h"
#include "core/files/study_folder.h"
#include "core/study/study.h"

namespace aftercurve {

inline constexpr int firstStoolForm = 1;  ///< hard lumps
inline constexpr int lastStoolForm = 7;   ///< watery
inline constexpr int mostStools = 100;    ///< of one day
inline constexpr double largestDoseG = 1e5;

/// Why a diary is larger than what is read: more than mostDiaryArms foods at their doses, more than
/// mostDiaryScores of subjects × these × items. The problem names no file.
std::optional<Problem> faultOfSize(const DiaryData& diary);

/// Reads the bytes of a diary file into study.diary.days, in file order. Columns: subject, food, day and one
/// for each item of study.diary.items (required), period, dose_g, stool_form, stools. A subject without any
/// sample is added to study.subjects. Fatal: a food that is not declared, a subject code, day or period that
/// cannot be read, a subject, food, period and day that are there twice. A score that is no whole number of
/// its scale, a stool form outside 1 to 7, a number of stools or a dose that cannot be read is an error at
/// its row, and the cell stays missing. Empty and NA are missing without a problem.
void readDiaryCsv(std::string_view bytes, std::string_view file, const ReadLimits& limits, Study& study,
                  ProblemList& problems);

/// The diary as a file that readDiaryCsv reads back to the same days (but for their rows). A column beside
/// the required ones is written where a day says something in it.
std::string diaryCsv(const DiaryData& diary);

}  // namespace aftercurve
