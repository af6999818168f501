#pragma once

#include <QStringList>
#include <vector>

#include "core/base/result.h"
#include "core/study/fibre_rule.h"

namespace aftercurve {

/// The ways of meeting a rule's statements as rows of a list: words, g of fibre, in what.
std::vector<QStringList> rowsOf(const std::vector<FibreStatementRule>& statements);
/// Back from such rows; those with the same words are ways of meeting one statement. Fails where an amount is
/// no number.
Result<std::vector<FibreStatementRule>> statementsIn(const std::vector<QStringList>& rows);

/// The steps of a rule's rounding as rows of a list: from which g, whether from it on or above it, nearest g,
/// significant figures, words.
std::vector<QStringList> rowsOf(const std::vector<FibreRoundingStep>& steps);
Result<std::vector<FibreRoundingStep>> stepsIn(const std::vector<QStringList>& rows);

/// "from it on", "above it": where a step of the rounding begins.
QStringList stepBeginnings();

}  // namespace aftercurve
