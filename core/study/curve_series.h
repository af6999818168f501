#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "core/study/study.h"

namespace aftercurve {

/// The samples of one subject × food × visit × analyte, in order of time.
struct CurveSeries {
    std::uint32_t subject = 0;
    std::uint32_t food = 0;
    std::int32_t visit = 1;
    std::int32_t period = 0;
    std::uint32_t analyte = 0;
    std::vector<double> timeMin;         ///< ascending, strictly unless `flaw` says otherwise
    std::vector<double> value;           ///< same length, in the analyte's unit
    std::vector<double> missingTimeMin;  ///< planned draws (rows) whose cell for this analyte is empty
    std::uint32_t file = 0;              ///< of the curve's first row
    std::uint32_t row = 0;               ///< the curve's first row in that file
    std::string flaw;  ///< why it cannot be used (unreadable cell, two values at one time); empty: usable
    std::string
        periodConflict;  ///< "rows of this visit name periods 1 and 2"; the first one stands in `period`
    bool excluded = false;
    std::string excludedBecause;
};

/// Groups the draws of a study into curves, ordered by analyte, subject, food, visit (indices, i.e. order of
/// declaration or first appearance). A visit without a single row has no curve. Rows may come in any order.
std::vector<CurveSeries> curveSeriesOf(const Study& study);

/// Whether an exclusion names this curve; a field left empty matches all.
bool excludes(const Exclusion& exclusion, const Study& study, const CurveSeries& curve);

}  // namespace aftercurve
