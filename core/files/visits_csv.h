#pragma once

#include <string_view>

#include "core/files/problem_list.h"
#include "core/files/study_folder.h"
#include "core/study/study.h"

namespace aftercurve {

/// Reads the bytes of a visits file into study.visits, in file order. Columns: subject, food (required),
/// visit (1 where left out), period, date (ISO 8601), meal_start (HH:MM or HH:MM:SS), remark. A subject
/// without any sample is added to study.subjects: a visit that was missed is a fact of the study. Fatal: a
/// food that is not declared, a visit or period that is no whole number, a visit that is there twice. A date
/// or clock time that cannot be read is left absent, with a warning.
void readVisitsCsv(std::string_view bytes, std::string_view file, const ReadLimits& limits, Study& study,
                   ProblemList& problems);

/// True for a date of the calendar written YYYY-MM-DD.
bool isIsoDate(std::string_view text);

/// True for HH:MM or HH:MM:SS from 00:00 to 23:59:59.
bool isClockTime(std::string_view text);

}  // namespace aftercurve
