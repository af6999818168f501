#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "core/base/result.h"
#include "core/findings/findings.h"
#include "core/planning/spread.h"
#include "core/study/study.h"

namespace aftercurve {

/// What a scatter of an earlier study was taken from.
enum class SpreadSource {
    model,        ///< residual variance of the mixed model: SD within a subject
    differences,  ///< paired differences of one food and the comparator
    logRatios,    ///< the same of natural logarithms, given as CV within a subject in %
    repeats,      ///< repeated visits of one food, pooled over subjects: SD within a subject
    indexValues,  ///< index of one food over subjects: SD between subjects
};

/// Words of the command line: "model", "differences", "log-ratios", "repeats", "index".
std::string_view wordFor(SpreadSource source);

/// A scatter to plan with, and how well it is known. The interval is that of a normal variance: SD·√(df/χ²),
/// χ² the upper and the lower alpha/2 quantile (of a CV: through √(e^s² − 1)). A small study knows its SD
/// badly: planning with the upper end is the cautious choice.
struct EarlierSpread {
    SpreadSource source = SpreadSource::differences;
    std::string analyte;
    std::string measure;
    std::string unit;  ///< of the value: that of the measure, "%" for a CV, "" for an index
    std::string food;  ///< empty for the model
    std::string comparator;
    std::optional<Spread>
        spread;  ///< absent: see absentBecause. Of index values: sdOfDifferences holds their SD
    std::optional<double> mean;  ///< of index values
    std::size_t n = 0;           ///< subjects that it rests on
    std::optional<double> df;    ///< model: that of the food term (Satterthwaite); repeats: Σ(visits − 1)
    std::optional<double> low;   ///< interval of confidence 1 − alpha of the plan
    std::optional<double> high;
    std::string absentBecause;
};

/// All scatters that the findings of a study hold for one analyte and measure, best first: the model, the
/// repeats, each comparison (differences, then logarithms of ratios), each index. A scatter that is not
/// estimable stands in the list with its reason. Logarithms need every value above 0. What was excluded does
/// not count. An analyte or a measure that the study does not compare gives an empty list.
std::vector<EarlierSpread> earlierSpreads(const Study& study, const Findings& findings,
                                          const std::string& analyte, const std::string& measure);

/// The same from the study and its plan, for its main measure and first analyte where those are empty.
Result<std::vector<EarlierSpread>> earlierSpreads(const Study& study, const Plan& plan,
                                                  const std::string& analyte, const std::string& measure);

/// "SD within a subject 41.2 mmol/L × min (11 df, 10 subjects; 95 % 29 to 70), from the mixed model of ...".
std::string sentenceFor(const EarlierSpread& spread, const Study& study, double alpha);

}  // namespace aftercurve
