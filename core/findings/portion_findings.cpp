#include "core/findings/portion_findings.h"

#include <charconv>
#include <cmath>
#include <limits>
#include <utility>

#include "core/base/number_text.h"
#include "core/files/excerpt.h"

namespace aftercurve {

namespace {

constexpr double hundredG = 100.0;
constexpr double usualDoseG = 50.0;
constexpr double smallDoseG = 25.0;

Macronutrients macronutrientsOf(const Food& food) {
    return {food.availableCarbohydrateG, food.composition.proteinG, food.composition.fatG,
            food.composition.fibreG};
}

/// "Fibre (g)" as label and unit.
std::pair<std::string, std::string> labelAndUnit(std::string_view label) {
    const std::size_t bracket = label.rfind(" (");
    if (bracket == std::string_view::npos || !label.ends_with(')')) {
        return {std::string{label}, ""};
    }
    return {std::string{label.substr(0, bracket)},
            std::string{label.substr(bracket + 2, label.size() - bracket - 3)}};
}

void addAmount(PortionFinding& finding, const Food& food, std::string_view key, std::string_view labelled,
               const std::optional<double>& amount) {
    const auto [label, unit] = labelAndUnit(labelled);
    if (!amount) {
        finding.notGiven.push_back(label);
        return;
    }
    finding.amounts.push_back({std::string{key}, label, unit, *amount,
                               amountIn(amount, food.portionG, hundredG),
                               amountIn(amount, food.portionG, food.composition.servingG)});
}

void addAmounts(PortionFinding& finding, const Food& food) {
    addAmount(finding, food, "available_carbohydrate_g", "Available carbohydrate (g)",
              food.availableCarbohydrateG);
    for (const CompositionField& field : compositionFields()) {
        if (field.member != &FoodComposition::servingG) {
            addAmount(finding, food, field.key, field.label, food.composition.*field.member);
        }
    }
    if (const auto& computed = finding.energy.fromMacronutrientsKj.value) {
        addAmount(finding, food, "energy_from_macronutrients_kj", "Energy from macronutrients (kJ)",
                  computed);
    }
}

void setEnergy(PortionFinding& finding, const Food& food) {
    finding.energy = compareEnergy(food.composition.energyKj, macronutrientsOf(food));
    if (finding.energy.statedKj) {
        finding.energyKj = finding.energy.statedKj;
        finding.energyFrom = "stated";
    } else if (finding.energy.fromMacronutrientsKj.value) {
        finding.energyKj = finding.energy.fromMacronutrientsKj.value;
        finding.energyFrom = "macronutrients";
    }
}

PortionValue differenceOf(const std::optional<double>& food, const std::optional<double>& other,
                          std::string_view what) {
    if (!food) {
        return absentPortionValue(std::string{what} + " is not known");
    }
    if (!other) {
        return absentPortionValue(std::string{what} + " of the comparator is not known");
    }
    return finitePortionValue(*food - *other);
}

void compareWith(PortionFinding& finding, const Food& food, const Food& comparator, double tolerancePercent) {
    finding.toComparator =
        matchPortions(food.availableCarbohydrateG, comparator.availableCarbohydrateG, tolerancePercent);
    finding.fibreDifferenceG =
        differenceOf(food.composition.fibreG, comparator.composition.fibreG, "the fibre");
    const auto& stated = food.composition.energyKj;
    const auto& otherStated = comparator.composition.energyKj;
    finding.energyDifferenceKj =
        stated && otherStated ? finitePortionValue(*stated - *otherStated)
                              : differenceOf(energyKjOf(macronutrientsOf(food)).value,
                                             energyKjOf(macronutrientsOf(comparator)).value,
                                             "the energy, stated for both or from macronutrients for both,");
}

void setBand(PortionFinding& finding, const Food& comparator, double tolerancePercent) {
    if (const auto& other = comparator.availableCarbohydrateG) {
        const double low = *other * (1.0 - tolerancePercent / 100.0);
        const double high = *other * (1.0 + tolerancePercent / 100.0);
        if (std::isfinite(low) && std::isfinite(high)) {
            finding.matchLowG = low;
            finding.matchHighG = high;
        }
    }
}

Problem problemAt(const PortionFinding& finding, Severity severity, const char* check) {
    Problem p;
    p.severity = severity;
    p.file = "study.json";
    p.food = finding.food;
    p.check = check;
    return p;
}

/// Three digits where the number is small or huge, else one decimal.
std::string gramsText(double g) {
    if (std::abs(g) >= 10.0 && std::abs(g) < 1e9) {
        return plainNumber(std::round(g * 10.0) / 10.0) + " g";
    }
    char buffer[40];
    const auto end = std::to_chars(buffer, buffer + sizeof buffer, g, std::chars_format::general, 3).ptr;
    return std::string{buffer, end} + " g";
}

/// One decimal, and in full where that would hide that the tolerance is passed, or be very long.
std::string percentText(double percent, double tolerance, MatchStatus status) {
    const std::string shortText = fixedNumber(std::abs(percent), 1);
    const bool hides = status == MatchStatus::notMatched && shortText == fixedNumber(tolerance, 1);
    return (hides || std::abs(percent) >= 1e6 ? plainNumber(percent) : fixedNumber(percent, 1)) + " %";
}

Problem notMatched(const Study& study, const Plan& plan, const PortionFinding& finding,
                   const PortionMatch& match, const std::string& other, bool isComparator) {
    Problem p = problemAt(finding, Severity::warning, "match");
    p.column = "available_carbohydrate_g";
    const double difference = match.differenceG.value.value_or(0.0);
    p.what = "the portion of " + quote(labelOf(study, finding.food)) + " holds " +
             (difference < 0.0 ? "less" : "more") + " available carbohydrate than that of " +
             quote(labelOf(study, other)) + " (" + plainNumber(finding.availableCarbohydrateG.value_or(0.0)) +
             " g, ";
    p.what += match.differencePercent.value
                  ? "difference " +
                        percentText(*match.differencePercent.value, plan.indexPlan.matchTolerancePercent,
                                    match.status) +
                        ", tolerance " + plainNumber(plan.indexPlan.matchTolerancePercent) + " %)"
                  : "the other none)";
    if (difference < 0.0) {
        p.what += "; less carbohydrate eaten lowers the response by itself";
    } else {
        p.what += "; more carbohydrate eaten raises the response by itself";
    }
    p.remedy = isComparator
                   ? "say so beside the comparison, and ascribe no difference to the food alone; or correct "
                     "available_carbohydrate_g"
                   : "an index asks for equal available carbohydrate: say so beside the index, or correct "
                     "available_carbohydrate_g";
    return p;
}

std::string matchWords(const Study& study, const Plan& plan, const PortionMatch& match,
                       const std::string& other) {
    const std::string name = labelOf(study, other);
    const std::string tolerance = plainNumber(plan.indexPlan.matchTolerancePercent) + " %";
    if (match.status == MatchStatus::notKnown) {
        return "whether that matches " + name + " is not known: " + match.differenceG.absentBecause;
    }
    std::string text = match.status == MatchStatus::matched ? "matched to " + name : "not matched to " + name;
    if (match.differencePercent.value) {
        text +=
            " (difference " +
            percentText(*match.differencePercent.value, plan.indexPlan.matchTolerancePercent, match.status) +
            ", tolerance " + tolerance + ")";
    }
    return text;
}

}  // namespace

std::vector<PortionFinding> portionFindings(const Study& study, const Plan& plan) {
    const auto comparator = findFood(study, plan.comparator);
    const auto reference = findFood(study, indexReference(study, plan));
    const double tolerance = plan.indexPlan.matchTolerancePercent;
    std::vector<PortionFinding> findings;
    for (std::size_t f = 0; f < study.foods.size(); ++f) {
        const Food& food = study.foods[f];
        const FoodComposition& c = food.composition;
        PortionFinding finding;
        finding.food = food.id;
        finding.portionG = food.portionG;
        finding.servingG = c.servingG;
        finding.availableCarbohydrateG = food.availableCarbohydrateG;
        setEnergy(finding, food);
        addAmounts(finding, food);
        const PortionValue servingFibre = amountIn(c.fibreG, food.portionG, c.servingG);
        finding.servingFibreAbsentBecause = servingFibre.absentBecause;
        finding.serving = {servingFibre.value, c.servingG,
                           amountIn(food.availableCarbohydrateG, food.portionG, c.servingG).value,
                           amountIn(finding.energyKj, food.portionG, c.servingG).value};
        finding.portionFor50G = portionHolding(usualDoseG, food.portionG, food.availableCarbohydrateG);
        finding.portionFor25G = portionHolding(smallDoseG, food.portionG, food.availableCarbohydrateG);
        finding.resistantStarchSharePercent = resistantStarchShare(c.resistantStarchG, c.starchG);
        finding.fibreDifferenceG = absentPortionValue("the plan names no comparator");
        finding.energyDifferenceKj = finding.fibreDifferenceG;
        if (comparator) {
            finding.comparator = study.foods[*comparator].id;
            setBand(finding, study.foods[*comparator], tolerance);
            if (*comparator != f) {
                compareWith(finding, food, study.foods[*comparator], tolerance);
            } else {
                finding.fibreDifferenceG = absentPortionValue("it is the comparator");
                finding.energyDifferenceKj = finding.fibreDifferenceG;
            }
        }
        if (reference) {
            finding.reference = study.foods[*reference].id;
            if (*reference != f) {
                finding.toReference = matchPortions(
                    food.availableCarbohydrateG, study.foods[*reference].availableCarbohydrateG, tolerance);
            }
        }
        finding.fibreTargetG = plan.indexPlan.fibreTargetG;
        if (finding.fibreTargetG && c.fibreG) {
            finding.servings = servingsFor(*finding.fibreTargetG, finding.serving);
        }
        finding.faults = compositionFaults(food.portionG, food.availableCarbohydrateG, c);
        findings.push_back(std::move(finding));
    }
    return findings;
}

std::vector<Problem> problemsOf(const Study& study, const Plan& plan, const PortionFinding& finding) {
    std::vector<Problem> problems;
    if (finding.toComparator && finding.toComparator->status == MatchStatus::notMatched) {
        problems.push_back(notMatched(study, plan, finding, *finding.toComparator, finding.comparator, true));
    }
    if (plan.index && finding.reference != finding.comparator && finding.toReference &&
        finding.toReference->status == MatchStatus::notMatched) {
        problems.push_back(notMatched(study, plan, finding, *finding.toReference, finding.reference, false));
    }
    const std::string name = quote(labelOf(study, finding.food));
    for (const CompositionFault& fault : finding.faults) {
        Problem p = problemAt(finding, Severity::warning, "composition");
        p.what = "composition of " + name + ": " + fault.what;
        p.remedy = fault.check;
        problems.push_back(std::move(p));
    }
    if (finding.energy.beyond) {
        Problem p = problemAt(finding, Severity::note, "composition");
        p.column = "energy_kj";
        p.what = "the stated energy of " + name + " (" + plainNumber(finding.energy.statedKj.value_or(0.0)) +
                 " kJ) is more than " + plainNumber(energyTolerancePercent) +
                 " % off that of its macronutrients (" +
                 fixedNumber(finding.energy.fromMacronutrientsKj.value.value_or(0.0), 0) + " kJ)";
        p.remedy = "check energy_kj, available_carbohydrate_g, protein_g, fat_g and fibre_g";
        problems.push_back(std::move(p));
    }
    return problems;
}

std::string portionSentence(const Study& study, const Plan& plan, const PortionFinding& finding) {
    std::string text = "The portion of " + labelOf(study, finding.food);
    if (finding.portionG) {
        text += " (" + gramsText(*finding.portionG) + ")";
    }
    if (!finding.availableCarbohydrateG) {
        return text + " holds an amount of available carbohydrate that is not given.";
    }
    text += " holds " + gramsText(*finding.availableCarbohydrateG) + " of available carbohydrate";
    if (finding.toComparator) {
        text += "; " + matchWords(study, plan, *finding.toComparator, finding.comparator);
        if (finding.toComparator->status == MatchStatus::notMatched) {
            text += ", so that a difference in response may be due to the dose";
        }
    }
    text += ".";
    if (finding.servings && finding.servings->whole && finding.fibreTargetG) {
        const ServingsForTarget& servings = *finding.servings;
        text += " An intake of " + gramsText(*finding.fibreTargetG) + " of fibre takes " +
                plainNumber(*servings.whole) + (*servings.whole == 1.0 ? " serving" : " servings");
        if (servings.grams.value) {
            text += ", " + gramsText(*servings.grams.value) + " of the food";
        }
        if (servings.availableCarbohydrateG.value) {
            text +=
                ", with " + gramsText(*servings.availableCarbohydrateG.value) + " of available carbohydrate";
        }
        text += ".";
    }
    return text;
}

}  // namespace aftercurve
