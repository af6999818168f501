#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <vector>

#include "core/findings/findings.h"

namespace aftercurve {

/// Visits of each subject with one food whose glucose curve counts and has the plan's measure.
struct IndexVisits {
    std::vector<std::string> subjects;
    std::vector<std::size_t> visits;  ///< same length
};

/// 0 where there is no subject.
std::size_t fewestVisits(const IndexVisits& visits);
std::size_t subjectsWithAtLeast(const IndexVisits& visits, std::size_t wanted);

/// Of the subjects that `kept` names.
IndexVisits indexVisits(const Study& study, const Plan& plan, std::span<const CurveFinding> curves,
                        const std::string& food, const std::vector<std::string>& kept);

/// Subjects whose value is kept in the index.
std::vector<std::string> keptSubjects(const IndexFinding& finding);

/// How many of the glucose curves that count have a sample for each of the times asked: one within the
/// tolerance, for which no other asked time is nearer.
struct TimesPresent {
    std::size_t curves = 0;
    std::vector<std::size_t> with;  ///< by time asked
};
TimesPresent timesPresent(std::span<const CurveFinding> curves, std::span<const double> asked,
                          double toleranceMin);

/// Samples at or before 0 in the glucose curves that count.
struct FastingSamples {
    std::size_t curves = 0;
    std::size_t fewest = 0;
    std::size_t most = 0;
    std::size_t withEnough = 0;  ///< curves with at least the number wanted
    std::size_t zeroAlone = 0;   ///< curves with a single one, at 0
};
FastingSamples fastingSamples(std::span<const CurveFinding> curves, std::size_t wanted);

/// Whether each subject left out lies beyond mean ± `sds` SD of all values of that index. False where one
/// lies nearer, as repeated passes can bring about.
bool leftOutLieBeyond(const FoodIndex& index, double sds);

}  // namespace aftercurve
