#pragma once

#include <string>
#include <vector>

#include "core/findings/findings.h"
#include "core/findings/sentence.h"

namespace aftercurve {

/// A fraction in running text: "total fibre", "insoluble".
std::string fibreFractionWords(const std::string& fraction);

/// What was determined, by which method and how evenly; what the methods leave out of the definition; what
/// does not agree and why; what the numbers say to statements on a label; what a recipe gives before and
/// after. The authority decides, and the last sentence says so. Empty where the study has no fibre results
/// and recipes.
std::vector<Sentence> fibreSentences(const Study& study, const Findings& findings);

}  // namespace aftercurve
