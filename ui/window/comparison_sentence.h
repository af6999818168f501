#pragma once

#include <QString>

#include "core/findings/table.h"

namespace aftercurve {

/// One comparison in words, put together from the cells of its row in the table "comparisons", so that words and
/// table never differ. Says what the study shows at the level chosen, and never that two foods are alike.
QString comparisonSentence(const Table& comparisons, std::size_t row, const Findings& findings);

}  // namespace aftercurve
