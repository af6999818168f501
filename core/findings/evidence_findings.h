#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/index/index_standards.h"
#include "core/study/study.h"

namespace aftercurve {

struct Findings;

enum class EvidenceStatus {
    shown,     ///< a fact that is there, or p (adjusted where it is) < alpha in the direction asked
    notShown,  ///< not so; never the same as disproved
    missing,   ///< the study does not say, or has no such number
    look,      ///< words or numbers that a person has to judge
};

/// "shown", "not shown", "missing", "look".
std::string_view wordFor(EvidenceStatus status);

/// One point that an authority looks at, and what the study shows of it.
struct EvidenceFinding {
    std::string food;   ///< id
    std::string point;  ///< key: "glucose_lower"
    std::string words;  ///< "Glucose response lower"
    std::string asked;
    std::string has;
    EvidenceStatus status = EvidenceStatus::missing;
    std::string source;
    RuleBasis basis = RuleBasis::fromMemory;
    std::string remark;   ///< may be empty
    std::string analyte;  ///< that the numbers are of; empty: none
    std::string measure;  ///< likewise
};

/// What is asked of a study by which a lower rise of glucose after a food shall be shown, point by point, for
/// each food of role test against the plan's comparator; and what this study has. Asked by: EFSA Journal
/// 2011;9(4):2024 and 21 CFR 101.9(c)(6)(i) (summaries read), EFSA Journal 2012;10(3):2604, the Declaration
/// of Helsinki and trial practice (from memory). Everything else of `findings` is complete; nothing new is
/// tested. Beside what is in `findings`: per cent of the comparator's mean = 100 · difference / mean over the
/// pairs; insulin over glucose = ratio of the two means over the pairs; resistant starch in per cent of total
/// starch. No published number says when insulin is raised disproportionately, so that point is never
/// 'shown'. A point without a value is missing, with the reason. Empty where there is no comparator or no
/// test food.
std::vector<EvidenceFinding> evidenceFindings(const Study& study, const Findings& findings);

/// How many points of one food are shown, not shown, missing, and to be looked at. Empty: no such food.
std::string evidenceSentence(const Study& study, std::span<const EvidenceFinding> findings,
                             std::string_view food);

/// Who decides on a claim. Neutral: it advises neither for nor against one.
std::string evidenceClosingSentence();

}  // namespace aftercurve
