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
    std::vector<double>
        timeMin;  ///< ascending, strictly unless `flaw` says otherwise; by the plan's time basis
    std::vector<double> value;           ///< same length, in the analyte's unit, after the plan's assay rules
    std::vector<double> scheduledMin;    ///< same length; the nominal time, or `timeMin` where none is given
    std::vector<double> missingTimeMin;  ///< scheduled times of draws (rows) that give no value
    std::uint32_t file = 0;              ///< of the curve's first row
    std::uint32_t row = 0;               ///< the curve's first row in that file
    std::string flaw;  ///< why it cannot be used (unreadable cell, two values at one time); empty: usable
    std::string
        periodConflict;  ///< "rows of this visit name periods 1 and 2"; the first one stands in `period`
    std::vector<std::string> notes;  ///< what the assay rules did to its values
    bool excluded = false;
    std::string excludedBecause;
};

/// Factor by which values of `analyte` are multiplied for the specimen: 1.11 for glucose in whole blood where
/// the plan asks for plasma values (IFCC: D'Orazio et al. 2005, Clin Chem 51:1573; from memory), else 1.
double specimenFactor(const Analyte& analyte, const Plan& plan);

/// Groups the draws of a study into curves, by the plan's time basis and assay rules: a value below the limit
/// of quantification counts as LOQ/2, LOQ or missing; determinations of one draw (rows of one time with
/// different numbers in `replicate`) count as their mean; each is noted. Curves are ordered by analyte,
/// subject, food, visit (indices, i.e. order of declaration or first appearance). A visit without a single
/// row has no curve. Rows may come in any order. Where the plan takes actual times, a draw whose nominal time
/// is at or below 0 stays a fasting one: an actual time past 0 is taken as 0, with a note.
std::vector<CurveSeries> curveSeriesOf(const Study& study, const Plan& plan);

/// Whether an exclusion names this curve; a field left empty matches all. One with a time names samples,
/// never the curve; one of the laboratory names neither.
bool excludes(const Exclusion& exclusion, const Study& study, const CurveSeries& curve);

/// Whether an exclusion with a time names this draw of the curve.
bool excludesSample(const Exclusion& exclusion, const Study& study, const CurveSeries& curve,
                    std::size_t draw);

}  // namespace aftercurve
