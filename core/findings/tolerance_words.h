#pragma once

#include <string>
#include <vector>

#include "core/findings/sentence.h"

namespace aftercurve {

/// How diaries were kept and compared; nothing where the study has no diary and no event.
std::vector<Sentence> toleranceMethods(const Study& study, const Findings& findings);

/// One sentence a food and dose with a composite (without one: a food, dose and item), its worst day against
/// the comparator, its odds of a higher score and the subjects with any symptom; then missing days, then
/// adverse events with the caution that no cause is claimed. Rows of the tables tolerance_tests,
/// tolerance_ordinal, tolerance_incidence, diary_missing and adverse_event_counts are named as sources.
std::vector<Sentence> toleranceResults(const Study& study, const Findings& findings);

/// permitsSentence of each pair of findings.bridge.
std::vector<Sentence> bridgeResults(const Findings& findings);

/// What stands under the figures symptoms_diverging, symptoms_dose and bridge.
std::string symptomsDivergingCaption(const Study& study, const Findings& findings, const PanelSpec& panel);
std::string symptomsDoseCaption(const Study& study, const Findings& findings, const PanelSpec& panel);
std::string bridgeCaption(const Study& study, const Findings& findings, const PanelSpec& panel);

}  // namespace aftercurve
