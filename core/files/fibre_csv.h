#pragma once

#include <cstddef>
#include <string>
#include <string_view>

#include "core/files/problem_list.h"
#include "core/files/study_folder.h"
#include "core/study/study.h"

namespace aftercurve {

/// Rows of a fibre file that are read; a laboratory's report has some dozens.
inline constexpr std::size_t mostFibreResults = 5000;

/// Most of a part in 100 g.
inline constexpr double wholePer100g = 100.0;

/// The words of FibreResult::fraction, for messages.
std::string fibreFractionWords();

/// Reads the bytes of a fibre file into study.fibre.results, in file order. Columns: material, method,
/// fraction, value (required); replicate (1 where left out), basis ("as-is" where left out, "dry"),
/// moisture_percent, laboratory. Fatal: a material or method that is empty or too long, a fraction or basis
/// that is not known, a replicate that is no whole number, a determination that is there twice, more
/// than mostFibreResults rows. A value that
/// cannot be used (text, negative, above 100 g in 100 g) is left absent, with an error; one below a limit
/// ("<0.5") and a moisture that is not from 0 to 100 % likewise, with a warning.
void readFibreCsv(std::string_view bytes, std::string_view file, const ReadLimits& limits, Study& study,
                  ProblemList& problems);

/// The results as such a file, every column written.
std::string fibreCsv(const Study& study);

}  // namespace aftercurve
