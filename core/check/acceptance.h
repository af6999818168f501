#pragma once

#include <span>
#include <vector>

#include "core/base/problem.h"
#include "core/study/study.h"

namespace aftercurve {

/// Whether an acceptance names this problem: the same check, and the same subject, food, visit, analyte and
/// time, where one that the acceptance leaves out matches all. A problem that does not say its visit, say,
/// is matched by acceptances without a visit only.
bool accepts(const Acceptance& acceptance, const Problem& problem);

/// Warnings and notes of a check that an acceptance names get `acceptedBecause` ("because; by, on") and stay
/// in the list; errors are never accepted. Of several acceptances the first one speaks. One that names
/// nothing adds a note, so that the list shows when a warning has gone or a key is misspelt.
void applyAcceptances(std::vector<Problem>& problems, std::span<const Acceptance> accepted);

/// Errors first, then warnings, then notes; within each the open ones before those accepted. Else the order
/// stays.
void sortProblems(std::vector<Problem>& problems);

}  // namespace aftercurve
