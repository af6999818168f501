#pragma once

#include <string>
#include <utility>
#include <vector>

#include "core/findings/evidence_findings.h"
#include "core/findings/findings.h"

namespace aftercurve {

// Internal to evidenceFindings.

/// Who asks, and whether the text was read.
struct EvidenceSource {
    std::string_view words;
    RuleBasis basis = RuleBasis::fromMemory;
};
inline constexpr EvidenceSource bloodGlucoseGuidance{
    "EFSA, guidance on claims on blood glucose, EFSA Journal 2012;10(3):2604"};
inline constexpr EvidenceSource resistantStarchOpinion{"EFSA Journal 2011;9(4):2024 (resistant starch)",
                                                       RuleBasis::read};
inline constexpr EvidenceSource trialPractice{"common practice in trials, no text"};

/// Rows of one food. A row that is returned holds until the next one is added.
class EvidenceRows {
  public:
    EvidenceRows(const Food& food, std::vector<EvidenceFinding>& rows) : food_{food}, rows_{rows} {}

    EvidenceFinding& add(const EvidenceSource& source, std::string point, std::string words,
                         std::string asked);

    const Food& food() const { return food_; }

  private:
    const Food& food_;
    std::vector<EvidenceFinding>& rows_;
};

void judgeEvidence(EvidenceFinding& row, EvidenceStatus status, std::string has, std::string remark = {});

/// The comparison of the main measure; null: none.
const ComparisonFinding* mainComparison(const Findings& findings,
                                        const std::vector<ComparisonFinding>& comparisons,
                                        std::string_view analyte, std::string_view food);

void addGlucoseRows(EvidenceRows& rows, const Findings& findings);
void addInsulinRow(EvidenceRows& rows, const Study& study, const Findings& findings);
void addStabilityRows(EvidenceRows& rows, const Study& study, const Findings& findings);

}  // namespace aftercurve
