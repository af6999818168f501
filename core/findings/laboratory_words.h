#pragma once

#include <string>
#include <vector>

#include "core/findings/sentence.h"

namespace aftercurve {

/// What the assays show: a sentence a sample, then one a quantity that was compared. Rows of the tables
/// digestion_index, digestion_fractions and digestion_comparisons are named as sources. Empty where the study
/// has no assays.
std::vector<Sentence> digestionSentences(const Study& study, const Findings& findings);

/// How the digestions were read and compared, and how fibre was determined; empty without either.
std::vector<Sentence> laboratoryMethods(const Study& study, const Findings& findings);

/// What stands under the figures digestion_curves, digestion_fractions and fibre_bars.
std::string digestionCurvesCaption(const Study& study, const Findings& findings, const PanelSpec& panel);
std::string digestionFractionsCaption(const Study& study, const Findings& findings, const PanelSpec& panel);
std::string fibreBarsCaption(const Study& study, const Findings& findings, const PanelSpec& panel);

}  // namespace aftercurve
