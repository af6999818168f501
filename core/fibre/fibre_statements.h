#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "core/portion/amounts.h"
#include "core/study/fibre_rule.h"

namespace aftercurve {

/// What a label's statement is held against; absent: not known.
struct FibreContents {
    std::optional<double> fibrePer100g;     ///< g
    std::optional<double> energyKjPer100g;  ///< for amounts per 100 kcal
    std::optional<double> servingG;
};

/// The fibre in what a rule counts against: per 100 g as given; per 100 kcal = fibre · 100 / (energy
/// / 4.184); per serving = fibre · serving / 100. Absent with a reason.
PortionValue fibreOn(FibreBasis basis, const FibreContents& contents);

/// Whether the numbers meet a statement. An authority decides; this only compares.
enum class StatementAnswer { met, notMet, notKnown };

/// "met by the numbers", "not met by the numbers", "not known".
std::string_view wordFor(StatementAnswer answer);

struct StatementFinding {
    StatementAnswer answer = StatementAnswer::notKnown;
    std::string needed;   ///< "at least 3 g in 100 g, or 1.5 g in 100 kcal"
    std::string found;    ///< "7.2 g in 100 g"; the amounts that are known
    std::string because;  ///< what is missing, where the answer hangs on it
};

/// Met where one of the ways is met, the limit included (a rest below 1e-9 of it is rounding of doubles); not
/// met where all are known and none is; else not known.
StatementFinding holdAgainst(const FibreStatementRule& statement, const FibreContents& contents);

}  // namespace aftercurve
