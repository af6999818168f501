#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/problem.h"
#include "core/index/index_standards.h"
#include "core/study/study.h"

namespace aftercurve {

struct CurveFinding;
struct IndexFinding;

enum class ConformityStatus {
    met,
    notMet,
    notStated,      ///< the study does not say
    look,           ///< it says something that a person has to judge
    notApplicable,  ///< nothing that can be met: a class, a rule of rounding
};

/// "met", "not met", "not stated", "look", "not applicable".
std::string_view wordFor(ConformityStatus status);

/// One requirement of one published rule, and what the study has.
struct ConformityFinding {
    IndexStandard standard = IndexStandard::iso26642;
    std::string requirement;  ///< key: "subjects"
    std::string words;        ///< "Subjects in the index"
    std::string food;         ///< id; empty: of the whole study
    std::string asked;
    std::string has;
    std::optional<double> number;  ///< in `has`, where there is one
    ConformityStatus status = ConformityStatus::notStated;
    std::string source;
    RuleBasis basis = RuleBasis::fromMemory;
    std::string remark;          ///< what to do, or how to read it; may be empty
    bool saidElsewhere = false;  ///< the problems of the index say the same where it is not met
};

/// The glucose index of the study against every published rule that is known, the plan's own first. Compares
/// what the study and its plan hold with what each rule asks (core/index/index_standards.h); a rule that says
/// nothing of a matter has no row. Subjects are those whose index is kept. A sampling time, and a number of
/// fasting samples, counts as there where 90 % of the glucose curves that count have it; a sample stands for
/// the asked time that is nearest to it, if it lies within the plan's time tolerance. Amounts of
/// carbohydrate agree where they differ by no more than the plan's tolerance, which is no number of the
/// rules. Empty where the plan asks for no index, or there is no reference food or no glucose.
std::vector<ConformityFinding> conformityFindings(const Study& study, const Plan& plan,
                                                  std::span<const CurveFinding> curves,
                                                  std::span<const IndexFinding> index);

/// A warning, check "index-standard", for each requirement of the plan's own rule that is not met, unless the
/// problems of the index say it.
std::vector<Problem> problemsOf(std::span<const ConformityFinding> findings, const Plan& plan);

/// How many requirements of the plan's rule are met, not met (and which), not stated, and for a person to
/// judge. Empty where there are none.
std::string conformitySentence(const Study& study, std::span<const ConformityFinding> findings,
                               const Plan& plan);

}  // namespace aftercurve
