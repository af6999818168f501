#pragma once

#include <filesystem>
#include <iosfwd>
#include <vector>

#include "core/findings/findings.h"
#include "ui/headless/commands.h"

namespace aftercurve {

/// A study with its findings, or the exit status that says why there are none.
struct Analysed {
    Study study;
    Findings findings;
    Exit exit = Exit::done;
    bool ok = false;
};

/// Reads a study folder and analyses it with its own plan. What keeps it from that goes to `messages`; the
/// problems of the findings do not.
Analysed analysed(const std::filesystem::path& folder, bool withoutExclusions, std::ostream& messages,
                  bool terminal);

/// One line a problem.
void print(const std::vector<Problem>& problems, std::ostream& messages);

}  // namespace aftercurve
