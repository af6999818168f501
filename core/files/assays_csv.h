#pragma once

#include <cstddef>
#include <string>
#include <string_view>

#include "core/files/problem_list.h"
#include "core/files/study_folder.h"
#include "core/study/study.h"

namespace aftercurve {

inline constexpr std::size_t mostAssayReadings = 200'000;

/// Reads the bytes of an assays file into study.assays.readings, in file order. Columns: sample, time_min and
/// value (required); run ("1" where left out), replicate (1 where left out), sample_mass_mg, blank (yes, no).
/// A row whose sample is empty must be a blank.
/// Fatal: a sample that is not declared, a run that is too long or holds control characters, a replicate that
/// is no whole number from 1, a time that is no number from 0, two rows of one sample, run, replicate and
/// time, more than 200,000 rows. A value or mass that cannot be used (text, decimal comma, a mass that is not
/// above 0) is an error: the reading stays, flagged, and what needs it is absent. A value may lie below 0:
/// the noise of a reading around nothing does.
void readAssaysCsv(std::string_view bytes, std::string_view file, const ReadLimits& limits, Study& study,
                   ProblemList& problems);

/// The run of a reading whose file names none.
inline constexpr const char* firstAssayRun = "1";

/// Puts value and mass into a reading as their cells say, without the apostrophe that protects a text: "" and
/// NA are missing; what cannot be used (text, decimal comma, a mass that is not above 0) is kept as text, and
/// the flaw says why, that of the mass where both have one.
void putAssayNumbers(AssayReading& reading, std::string_view value, std::string_view mass);

/// The readings in that format, all columns; readAssaysCsv gives them back, but for their rows.
std::string assaysCsv(const AssayData& assays);

}  // namespace aftercurve
