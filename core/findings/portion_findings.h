#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/base/problem.h"
#include "core/portion/composition_sums.h"
#include "core/portion/energy.h"
#include "core/portion/match.h"
#include "core/portion/servings.h"
#include "core/study/study.h"

namespace aftercurve {

/// One thing that a portion holds.
struct PortionAmount {
    std::string key;    ///< "fibre_g", as in study.json; "energy_from_macronutrients_kj"
    std::string label;  ///< "Fibre"
    std::string unit;   ///< "g", "kJ"
    double perPortion = 0.0;
    PortionValue per100G;
    PortionValue perServing;
};

/// What one food's portion holds, and how it is matched to the other foods.
struct PortionFinding {
    std::string food;
    std::optional<double> portionG;
    std::optional<double> servingG;
    std::optional<double> availableCarbohydrateG;
    std::vector<PortionAmount> amounts;  ///< those that are known
    std::vector<std::string> notGiven;   ///< labels of what study.json does not give: "Fibre"
    EnergyComparison energy;
    /// The stated energy, else that of the macronutrients; where from: "stated", "macronutrients" or "".
    std::optional<double> energyKj;
    std::string energyFrom;
    ServingContents serving;  ///< one serving
    std::string servingFibreAbsentBecause;
    PortionValue portionFor50G;
    PortionValue portionFor25G;
    PortionValue resistantStarchSharePercent;
    std::string comparator;                    ///< food id; empty: none
    std::string reference;                     ///< food that the index refers to; empty: none
    std::optional<PortionMatch> toComparator;  ///< absent for the comparator itself and where there is none
    std::optional<PortionMatch> toReference;   ///< likewise
    /// Available carbohydrate that still matches the comparator's, g.
    std::optional<double> matchLowG;
    std::optional<double> matchHighG;
    PortionValue fibreDifferenceG;    ///< food − comparator
    PortionValue energyDifferenceKj;  ///< food − comparator, both stated or both from macronutrients
    std::optional<double> fibreTargetG;
    std::optional<ServingsForTarget> servings;  ///< where the plan names an intake and the fibre is known
    std::vector<CompositionFault> faults;
};

/// One a food, in the order of the study. Reads what study.json says of the foods, and no sample.
std::vector<PortionFinding> portionFindings(const Study& study, const Plan& plan);

/// Warnings "match" (portions that are not matched, and what that means for the comparison) and "composition"
/// (sums that cannot be), notes where a stated energy is far from that of the macronutrients. What is not
/// given is no problem here: the tables say so.
std::vector<Problem> problemsOf(const Study& study, const Plan& plan, const PortionFinding& finding);

/// The portion, its match and the servings of one food in one to two sentences:
/// "The portion of Oat bread (128 g) holds 50 g of available carbohydrate, ...".
std::string portionSentence(const Study& study, const Plan& plan, const PortionFinding& finding);

}  // namespace aftercurve
