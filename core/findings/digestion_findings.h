#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "core/base/problem.h"
#include "core/compare/one_way.h"
#include "core/digest/digestion_fit.h"
#include "core/digest/digestions.h"
#include "core/digest/hydrolysis.h"
#include "core/digest/log_of_slope.h"
#include "core/digest/starch_fractions.h"
#include "core/study/laboratory_exclusion.h"
#include "core/study/study.h"

namespace aftercurve {

/// What one digestion gives.
struct DigestionReplicate {
    std::string sample;  ///< AssaySample::id
    Digestion digestion;
    DigestionFractions fractions;
    FitChoice fits;
    DigestValue rate;  ///< k of the one-phase curve, per min: the one that is compared
    DigestValue area;  ///< trapezoids to DigestionFindings::untilMin, % × min
};

/// Mean digested starch of a sample at a time, percent of total starch.
struct DigestionMean {
    double timeMin = 0.0;
    std::size_t n = 0;  ///< digestions with a value there
    double mean = 0.0;
    std::optional<double> sd;  ///< absent where n < 2
};

/// What the digestions of one sample give together.
struct DigestionSample {
    std::string sample;
    std::string label;
    std::string food;  ///< id; empty: none
    bool reference = false;
    std::size_t digestions = 0;
    std::size_t runs = 0;
    std::vector<FractionSummary> fractions;  ///< by fraction, then basis (assayBases)
    std::vector<DigestionMean> curve;        ///< all times
    std::vector<double> notShared;           ///< times that not all digestions have: not in fits and areas
    FitChoice fits;                          ///< of the mean curve, at the times that all digestions share
    LogOfSlope slopes;                       ///< likewise
    DigestValue fittedArea;                  ///< of the chosen fit to untilMin, % × min
    DigestValue area;                        ///< trapezoids of the mean curve, likewise
    DigestValue hydrolysisIndex;         ///< from the fitted areas where both have one, else from trapezoids
    std::string hydrolysisFrom;          ///< "fitted curves", "trapezoids"; empty where there is none
    std::optional<double> hydrolysisSe;  ///< of the ratio of mean trapezoid areas of the digestions
    std::vector<DigestValue> estimatedIndex;  ///< as indexEquations()
    std::string absentBecause;                ///< of the curve
};

/// One quantity of the digestions compared between the samples.
struct DigestionComparison {
    std::string key;    ///< "rapidly_digestible", ..., "k", "area"
    std::string label;  ///< "Rapidly digestible starch"
    std::string unit;
    OneWay test;                       ///< groups are positions in AssayData::samples, blocks number the runs
    std::vector<std::string> leftOut;  ///< digestions without it: "oat, run 1, replicate 2: why"
};

/// What the assays of digestion in vitro show.
struct DigestionFindings {
    DigestCuts cuts;
    AssayBasis basis = AssayBasis::totalStarch;
    std::string family;              ///< as AssayData::comparison
    std::optional<double> untilMin;  ///< where the areas end
    std::string reference;           ///< sample id; empty: none
    std::vector<DigestionReplicate> replicates;
    std::vector<DigestionSample>
        bySample;  ///< in the order of AssayData::samples, as comparisons number them
    std::vector<DigestionComparison> comparisons;
    std::vector<LaboratoryLeftOut> excluded;  ///< digestions and single readings, in file order
};

/// Everything about the assays of the study without the readings that are excluded, as if these rows were not
/// in the file; intervals at the plan's alpha. Empty where the study has no
/// assays, or settings that make no sense (problemsOf says so). Areas end at last_min, or at the last time
/// that every digestion has. The comparisons take every digestion as one independent value, runs as blocks.
DigestionFindings digestionFindings(const Study& study, const Plan& plan);

/// Settings that make no sense (errors); samples without readings, values below 0 or above what the sample
/// holds, runs of which only some have blanks, curves and fractions that are absent, comparisons that could
/// not be made (warnings); interpolated cuts, times that not all digestions have, slopes without logarithm,
/// no reference (notes).
std::vector<Problem> problemsOf(const Study& study, const DigestionFindings& findings);

/// Fractions, curve, hydrolysis index and estimated index of one sample in a few sentences. An estimated
/// index never stands without the statement that it is none.
std::string digestionSentence(const Study& study, const DigestionFindings& findings,
                              const DigestionSample& sample, double alpha);

/// One comparison: F with its degrees of freedom, p, and the pairs that differ. A p above alpha is not
/// evidence that samples are alike, and the sentence says so.
std::string digestionSentence(const DigestionFindings& findings, const DigestionComparison& comparison,
                              double alpha);

}  // namespace aftercurve
