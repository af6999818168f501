#pragma once

#include <string_view>

#include "core/files/problem_list.h"
#include "core/files/study_folder.h"
#include "core/study/study.h"

namespace aftercurve {

/// Reads the bytes of a subjects file into study.subjects, in file order. Columns: subject (required),
/// sequence, sex, age_y, bmi_kg_m2. Fatal: a subject that is empty or there twice, a wrong number of cells.
/// An age or BMI that is not a sensible number is left absent, with a warning.
void readSubjectsCsv(std::string_view bytes, std::string_view file, const ReadLimits& limits, Study& study,
                     ProblemList& problems);

/// Why a text cannot be the code of a subject; empty where it can.
std::string faultOfSubjectCode(std::string_view code);

}  // namespace aftercurve
