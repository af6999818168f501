#pragma once

#include <string>

#include "core/findings/findings.h"

namespace aftercurve {

/// results.json, version 1 (docs/formats.md): every finding at full precision, null where not estimable.
/// The text depends on nothing but its argument and the program's version and revision.
std::string resultsJson(const Findings& findings);

}  // namespace aftercurve
