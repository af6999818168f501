#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/base/problem.h"
#include "core/compare/paired_t.h"
#include "core/compare/signed_rank.h"
#include "core/index/insulin_measures.h"
#include "core/study/study.h"

namespace aftercurve {

struct CurveFinding;

/// One measure of insulin action or secretion of one visit.
struct InsulinMeasure {
    std::string subject;
    std::string food;
    int visit = 1;
    std::string key;  ///< in insulinMeasureList()
    std::optional<double> value;
    std::string absentBecause;
    InsulinInputs inputs;  ///< those of this measure, in the units of insulinInputList()
    std::string outside;   ///< why the value lies outside what the measure is meant for; empty: it does not
    std::string dose;      ///< of a measure derived for 75 g glucose: what this drink holds; empty: 75 g
    std::string file;      ///< of the first row of the visit's curve
    std::size_t row = 0;
};

/// One subject's value of one measure for one food: the mean over the visits that have it.
struct InsulinSubject {
    std::string subject;
    std::optional<double> value;
    std::string absentBecause;
};

/// One measure over the subjects of a food (replicate visits averaged first), and against the comparator.
/// Mean with SD (n − 1), SEM and the interval by t; quartiles by linear interpolation (Hyndman & Fan 1996,
/// type 7); geometric mean exp(mean ln x) and CV 100·√(exp(s²) − 1), s the SD of ln x, where all are above 0
/// and the values are no logarithms already. Difference: food − comparator in the subjects with both; p of t
/// adjusted over the foods of one measure, by the plan's rule.
struct InsulinSummary {
    std::string food;
    std::string key;
    std::vector<InsulinSubject> subjects;  ///< all of the study, in its order
    std::size_t n = 0;
    std::optional<double> mean;
    std::optional<double> sd;
    std::optional<double> sem;
    std::optional<double> ciLow;
    std::optional<double> ciHigh;
    std::optional<double> median;
    std::optional<double> lowerQuartile;
    std::optional<double> upperQuartile;
    std::optional<double> geometricMean;
    std::optional<double> geometricCvPercent;
    std::string absentBecause;  ///< of the numbers above that are absent, the geometric ones aside
    std::string geometricAbsentBecause;
    std::string comparator;  ///< food id; empty: the plan has none, or this food is the comparator
    PairedT t;
    std::optional<double> pAdjusted;
    SignedRank signedRank;
    std::string comparisonAbsentBecause;
};

struct InsulinFindings {
    std::vector<InsulinMeasure> measures;   ///< by measure, food, subject, visit
    std::vector<InsulinSummary> summaries;  ///< by measure, food
};

/// Measures of every visit that has a curve of glucose, insulin or C-peptide, and their summaries. Only
/// curves that count are read: an excluded or not estimable one makes the measure absent, with the reason. A
/// measure is listed where the study has all its analytes. Concentrations are converted by conversionFactor,
/// insulin by Study::insulinPmolPerUiu. `plan` has its comparator filled in.
InsulinFindings insulinFindings(const Study& study, const Plan& plan, std::span<const CurveFinding> curves);

/// A note for the measures of which values lie outside what they are meant for; measures that are alike in
/// this share one.
std::vector<Problem> problemsOf(std::span<const InsulinMeasure> measures);

/// What one measure of one food was against the comparator, in words. Of a fasting measure it says that the
/// food cannot have acted on it yet.
std::string insulinSentence(const Study& study, const Plan& plan, const InsulinSummary& summary);

}  // namespace aftercurve
