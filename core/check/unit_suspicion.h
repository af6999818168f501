#pragma once

#include <optional>
#include <string_view>

#include "core/check/check_input.h"

namespace aftercurve {

/// Healthy people's fasting level of an analyte in its SI unit, wide enough that no group of volunteers
/// falls out of it; a level outside it that another unit would bring inside looks like that other unit.
///   glucose 3 to 10 mmol/L, insulin 18 to 150 pmol/L, c-peptide 0.15 to 1.5 nmol/L, triglycerides 0.3 to
///   4 mmol/L
/// Common practice, no source: the laboratories' fasting ranges (fasting_range.cpp), widened.
struct LevelRange {
    double low = 0.0;
    double high = 0.0;
};
std::optional<LevelRange> levelRangeOf(std::string_view analyte);

/// Median of the fasting values; of all values where none is at or before 0 min. Absent without values.
std::optional<double> levelOf(const CheckCurve& curve);

/// The unit that `level` (in the analyte's unit) looks as if it were in; empty: its own.
std::string_view unitThatFits(const Analyte& analyte, double level);

/// Fills CheckCurve::looksLikeUnit. Where the two units differ tenfold or more (glucose, triglycerides,
/// pmol/L and nmol/L) the level alone decides. Between 5-fold and 10-fold (insulin) both the fasting and the
/// later values must also lie away from the median of the other curves of the same food (of all others where
/// those are fewer than three) by that factor, give or take half of it, and there must be three. Below 5-fold
/// a single curve is never suspected.
void suspectUnits(CheckInput& input);

/// Fills CheckVisit::looksReversed: at least half of the numbers in the glucose column are no glucose
/// concentration (3 to 15 mmol/L), all of them could be insulin (5 to 3000 pmol/L), and all numbers in the
/// insulin column could be glucose (2.5 to 20 mmol/L). At least three numbers each. Common practice, no
/// source.
void suspectReversedColumns(CheckInput& input);

}  // namespace aftercurve
