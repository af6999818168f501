#pragma once

#include <string>

namespace aftercurve {

// The files in core/findings/recompute/script, put into the program by core/findings/recompute/embed.cmake.

/// The R script: its parts in order of their names.
std::string recomputeScript();

std::string recomputeReadme();

}  // namespace aftercurve
