#include "core/findings/evidence_findings.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "core/base/number_text.h"
#include "core/findings/evidence_rows.h"
#include "core/findings/findings.h"
#include "core/findings/rounded_words.h"

namespace aftercurve {

namespace {

constexpr EvidenceSource helsinki{"World Medical Association, Declaration of Helsinki"};
constexpr EvidenceSource resistantStarchUse{
    "EFSA Journal 2011;9(4):2024; condition of use as an authority's page (FSANZ) and the trade press tell "
    "it",
    RuleBasis::read};
constexpr EvidenceSource fibreDefinition{"21 CFR 101.9(c)(6)(i), as two summaries tell it", RuleBasis::read};

constexpr double resistantStarchPercent = 14.0;
/// 8.4 g of 60 g is 14 %, whatever the last bit says.
constexpr double percentPlay = 1e-9;

/// A text of the study's people: there for a person to judge, or missing.
void addText(EvidenceRows& rows, const EvidenceSource& source, std::string point, std::string words,
             std::string asked, const std::string& has) {
    auto& row = rows.add(source, std::move(point), std::move(words), std::move(asked));
    if (has.empty()) {
        judgeEvidence(row, EvidenceStatus::missing, "not stated");
    } else {
        judgeEvidence(row, EvidenceStatus::look, has);
    }
}

void addFood(EvidenceRows& rows) {
    const Food& food = rows.food();
    std::string has;
    const auto put = [&has](std::string_view label, const std::optional<double>& value) {
        if (value) {
            has += (has.empty() ? "" : "; ") + std::string{label} + " " + plainNumber(*value);
        }
    };
    for (const CompositionField& field : compositionFields()) {
        put(field.label, food.composition.*field.member);
    }
    auto& row = rows.add(bloodGlucoseGuidance, "characterised", "Food and ingredient characterised",
                         "source, composition and process, so that the food can be made again");
    if (has.empty()) {
        judgeEvidence(row, EvidenceStatus::missing, "no composition is given");
    } else {
        judgeEvidence(row, EvidenceStatus::look, has, "source and process are not kept in the study");
    }
}

void addComparator(EvidenceRows& rows, const Study& study, const Food& comparator) {
    const std::string name =
        labelOf(study, comparator.id) + " (" + std::string{wordFor(comparator.role)} + ")";
    const std::string& reason = study.conduct.comparatorReason;
    auto& row = rows.add(bloodGlucoseGuidance, "comparator", "Comparator and the reason for it",
                         "a food that would be eaten instead, and why this one");
    if (reason.empty()) {
        judgeEvidence(row, EvidenceStatus::missing, name + "; no reason is stated");
    } else {
        judgeEvidence(row, EvidenceStatus::look, name + "; " + reason);
    }
}

void addCarbohydrate(EvidenceRows& rows, const Plan& plan, const Food& comparator) {
    auto& row = rows.add(resistantStarchOpinion, "carbohydrate_matched", "Available carbohydrate matched",
                         "equal in both foods, or the difference stated: resistant starch in place of "
                         "digestible starch lowered "
                         "the response, and did not where available carbohydrate was kept equal");
    const auto& has = rows.food().availableCarbohydrateG;
    const auto& beside = comparator.availableCarbohydrateG;
    if (!has || !beside) {
        judgeEvidence(row, EvidenceStatus::missing,
                      "not known of " + std::string{!has ? "the food" : "the comparator"});
        return;
    }
    const std::string both = plainNumber(*has) + " g, comparator " + plainNumber(*beside) + " g";
    const std::string tolerance = plainNumber(plan.indexPlan.matchTolerancePercent) + " %";
    const double apart = *beside > 0.0 ? 100.0 * (std::abs(*has - *beside) / *beside)
                         : *has > 0.0  ? plan.indexPlan.matchTolerancePercent + 1.0
                                       : 0.0;
    if (apart <= plan.indexPlan.matchTolerancePercent + percentPlay) {
        judgeEvidence(row, EvidenceStatus::shown, both + ": equal within the plan's " + tolerance,
                      "the tolerance is the plan's, no published one");
    } else {
        judgeEvidence(row, EvidenceStatus::look,
                      both + ": " + (*has < *beside ? "less" : "more") +
                          " than the comparator, by more than " + tolerance,
                      "a comparison of unequal amounts: replacement or addition has to be said");
    }
}

void addStarch(EvidenceRows& rows) {
    const FoodComposition& composition = rows.food().composition;
    auto& row = rows.add(resistantStarchUse, "resistant_starch", "Resistant starch in total starch",
                         "at least 14 % of total starch, for a claim on resistant starch");
    if (!composition.starchG || !composition.resistantStarchG || *composition.starchG <= 0.0) {
        judgeEvidence(row, EvidenceStatus::missing,
                      composition.starchG && *composition.starchG <= 0.0
                          ? "the food has no starch"
                          : "total and resistant starch are not both given");
        return;
    }
    const double share = 100.0 * (*composition.resistantStarchG / *composition.starchG);
    judgeEvidence(row,
                  share >= resistantStarchPercent * (1.0 - percentPlay) ? EvidenceStatus::shown
                                                                        : EvidenceStatus::notShown,
                  roundedText(share) + " % (" + plainNumber(*composition.resistantStarchG) + " g of " +
                      plainNumber(*composition.starchG) + " g)",
                  "of the portion as eaten; matters where the claim is on resistant starch");
}

void addFibre(EvidenceRows& rows) {
    const auto& fibre = rows.food().composition.fibreG;
    auto& row = rows.add(fibreDefinition, "fibre", "Dietary fibre",
                         "non-digestible carbohydrate of three or more units, and lignin: intrinsic and "
                         "intact, or isolated or "
                         "synthetic with a benefit that is shown");
    if (!fibre) {
        judgeEvidence(row, EvidenceStatus::missing, "not given");
    } else {
        judgeEvidence(row, EvidenceStatus::look, plainNumber(*fibre) + " g in the portion",
                      "whether it counts as fibre depends on what it is and on the method");
    }
}

void addUse(EvidenceRows& rows, const Study& study) {
    std::string has = study.conduct.conditionsOfUse;
    if (!has.empty() && rows.food().portionG) {
        has += "; portion in the study " + plainNumber(*rows.food().portionG) + " g";
    }
    addText(rows, bloodGlucoseGuidance, "conditions_of_use", "Dose and conditions of use",
            "the amount and pattern that gave the effect", has);
}

void addSubjects(EvidenceRows& rows, const Study& study, const Findings& findings) {
    addText(rows, bloodGlucoseGuidance, "population", "Population", "people like those whom the claim is for",
            study.conduct.population);
    auto& row = rows.add(bloodGlucoseGuidance, "subjects", "Number of subjects",
                         "enough for the effect; no number is published");
    row.analyte = "glucose";
    row.measure = findings.plan.measure;
    const ComparisonFinding* c = mainComparison(findings, findings.comparisons, "glucose", row.food);
    if (c == nullptr || c->t.n == 0) {
        judgeEvidence(row, EvidenceStatus::missing, "no subject has glucose after both foods");
        return;
    }
    judgeEvidence(row, EvidenceStatus::look,
                  countedWords(c->t.n, "subject") + " with both foods" +
                      (c->leftOut.empty() ? "" : ", " + std::to_string(c->leftOut.size()) + " left out"),
                  "the power is that of the planning; it is not judged from the results");
}

void addDesign(EvidenceRows& rows, const Study& study) {
    const Conduct& conduct = study.conduct;
    auto& row = rows.add(bloodGlucoseGuidance, "randomised", "Order of foods randomised", "randomised");
    if (!conduct.randomised) {
        judgeEvidence(row, EvidenceStatus::missing, "not stated");
    } else {
        judgeEvidence(row, *conduct.randomised ? EvidenceStatus::shown : EvidenceStatus::notShown,
                      *conduct.randomised ? "yes, as stated" : "no, as stated");
    }
    addText(rows, bloodGlucoseGuidance, "blinding", "Blinding", "who did not know which food it was",
            conduct.blinding);
    addText(rows, bloodGlucoseGuidance, "compliance", "How eating all of it was seen to",
            "that the foods were eaten as planned", conduct.compliance);
    addText(rows, bloodGlucoseGuidance, "duration", "Effect when eaten daily",
            "whether the effect is kept with daily use", conduct.duration);
}

void addRecord(EvidenceRows& rows, const Study& study, const Findings& findings) {
    auto& row = rows.add(trialPractice, "plan_registered", "Plan laid down before the values were seen",
                         "a dated plan, and what was done otherwise");
    if (findings.registered.empty()) {
        judgeEvidence(row, EvidenceStatus::missing, "no plan is registered");
    } else {
        const RegisteredFinding& last = findings.registered.back();
        const std::string has =
            "registered on " + last.on + ", " +
            (findings.registered.size() > 1
                 ? countedWords(findings.registered.size() - 1, "earlier version") + ", "
                 : "") +
            (last.differences == 0 ? "run as registered"
                                   : countedWords(last.differences, "choice") + " run otherwise") +
            (last.hashHolds ? "" : "; its SHA-256 does not hold");
        const bool clean = last.hashHolds && last.differences == 0 && findings.registered.size() == 1;
        judgeEvidence(row, clean ? EvidenceStatus::shown : EvidenceStatus::look, has,
                      "that it was laid down before the values were seen is stated, not proved");
    }
    addText(rows, helsinki, "ethics", "Ethics approval", "approval by a committee", study.conduct.ethics);
    addText(rows, helsinki, "registration", "Public registration", "an entry in a public register",
            study.conduct.registration);
}

}  // namespace

std::string_view wordFor(EvidenceStatus status) {
    switch (status) {
        case EvidenceStatus::shown:
            return "shown";
        case EvidenceStatus::notShown:
            return "not shown";
        case EvidenceStatus::missing:
            return "missing";
        case EvidenceStatus::look:
            break;
    }
    return "look";
}

std::vector<EvidenceFinding> evidenceFindings(const Study& study, const Findings& findings) {
    std::vector<EvidenceFinding> result;
    const auto comparator = findFood(study, findings.plan.comparator);
    if (!comparator) {
        return result;
    }
    const Food& beside = study.foods[*comparator];
    for (const Food& food : study.foods) {
        if (food.role != FoodRole::test || food.id == beside.id) {
            continue;
        }
        EvidenceRows rows{food, result};
        addFood(rows);
        addComparator(rows, study, beside);
        addCarbohydrate(rows, findings.plan, beside);
        addGlucoseRows(rows, findings);
        addInsulinRow(rows, study, findings);
        addStarch(rows);
        addFibre(rows);
        addSubjects(rows, study, findings);
        addUse(rows, study);
        addDesign(rows, study);
        addRecord(rows, study, findings);
        addStabilityRows(rows, study, findings);
    }
    return result;
}

std::string evidenceSentence(const Study& study, std::span<const EvidenceFinding> findings,
                             std::string_view food) {
    std::array<std::size_t, 4> count{};
    std::size_t all = 0;
    for (const EvidenceFinding& finding : findings) {
        if (finding.food == food) {
            ++count[static_cast<std::size_t>(finding.status)];
            ++all;
        }
    }
    if (all == 0) {
        return {};
    }
    const auto of = [&count](EvidenceStatus status) {
        return std::to_string(count[static_cast<std::size_t>(status)]);
    };
    return "Of " + countedWords(all, "point") + " that an authority looks at, for " + labelOf(study, food) +
           ": " + of(EvidenceStatus::shown) + " shown, " + of(EvidenceStatus::notShown) + " not shown, " +
           of(EvidenceStatus::missing) + " missing, " + of(EvidenceStatus::look) + " for a person to judge.";
}

std::string evidenceClosingSentence() {
    return "Whether a claim on a food may be made is decided by the competent authority: in the European "
           "Union "
           "the Commission and the member states on the opinion of the authority for food safety, in the "
           "United States the Food and Drug Administration, elsewhere the national one. Rules change: check "
           "their date.";
}

}  // namespace aftercurve
