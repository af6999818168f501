#include "core/compare/time_course.h"

#include <cassert>
#include <cmath>
#include <limits>
#include <numbers>

#include "core/compare/curve_contrasts.h"
#include "core/compare/distributions.h"
#include "core/compare/multiplicity_words.h"
#include "core/compare/scaled.h"

namespace aftercurve {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr const char* notEstimable = "the design cannot tell this from the effects of the periods";
constexpr const char* tooLarge = "a result is too large or too small for the number format";
constexpr const char* noDf = "no degrees of freedom can be found";

Index at(std::size_t i) {
    return static_cast<Index>(i);
}

/// Scaled back, and absent where digits are lost.
std::optional<double> varianceBack(const CurveDesign& design, double variance) {
    const auto back = scaledBack(variance * design.unit * design.unit, 2 * design.exponent);
    const bool lost = back && *back != 0.0 && std::abs(*back) < std::numeric_limits<double>::min();
    return lost || (back && *back == 0.0 && variance != 0.0) ? std::nullopt : back;
}

void addVariances(const CurveDesign& design, const CurveFit& fit, TimeCourse& result) {
    const CovariancePieces pieces = piecesOf(fit.form, fit.at);
    const auto part = [&](CovarianceForm::Part p, double variance) {
        return fit.form.has[p] ? varianceBack(design, variance) : std::nullopt;
    };
    result.varianceSubject = part(CovarianceForm::subject, pieces.subject);
    result.varianceSubjectFood = part(CovarianceForm::subjectFood, pieces.subjectFood);
    result.varianceCurve = part(CovarianceForm::curve, pieces.curve);
    bool complete = true;
    if (fit.form.covariance == CurveCovariance::unstructured) {
        result.withinTimes = design.times;
        for (Index a = 0; a < pieces.within.rows(); ++a) {
            for (Index b = 0; b < pieces.within.cols(); ++b) {
                const auto c =
                    scaledBack(pieces.within(a, b) * design.unit * design.unit, 2 * design.exponent);
                complete &= c && varianceBack(design, pieces.within(a, a)).has_value();
                result.withinCovariance.push_back(c.value_or(0.0));
            }
        }
        if (!complete) {
            result.withinTimes.clear();
            result.withinCovariance.clear();
        }
    } else {
        result.varianceResidual = varianceBack(design, pieces.within(0, 0));
        complete = result.varianceResidual.has_value();
    }
    if (!complete) {
        result.notes.push_back(std::string("variances: ") + tooLarge);
    }
    if (fit.form.hasRho) {
        result.rho = rhoOf(fit.form, fit.at);
        double least = std::numeric_limits<double>::infinity();
        for (std::size_t t = 1; t < design.timesMin.size(); ++t) {
            least = std::min(least, design.timesMin[t] - design.timesMin[t - 1]);
        }
        result.rhoUnitMin = least;
    }
    result.boundary = fit.boundary;
    result.fixedParameters = static_cast<std::size_t>(design.columns());
    result.covarianceParameters = static_cast<std::size_t>(fit.form.size());
    const auto freedom = static_cast<double>(design.rows - result.fixedParameters);
    // A density of values twice as large is half as high, for each of the residual degrees of freedom.
    const double minusTwo =
        fit.reml.minusTwoLogL + 2.0 * freedom * (std::log(design.unit) + design.exponent * std::numbers::ln2);
    const auto parameters = static_cast<double>(result.fixedParameters + result.covarianceParameters);
    result.remlLogLikelihood = -0.5 * minusTwo;
    result.aic = minusTwo + 2.0 * parameters;
    result.bic = minusTwo + std::log(freedom) * parameters;
}

TimeCourseTerm termOf(const CurveDesign& design, const CurveFit& fit, const std::string& name,
                      const std::vector<CurveFunction>& functions) {
    TimeCourseTerm term;
    term.term = name;
    term.numeratorDf = functions.size();
    MatrixXd columns(design.columns(), at(functions.size()));
    for (std::size_t i = 0; i < functions.size(); ++i) {
        const auto column = inColumns(design, functions[i]);
        if (!column) {
            term.absentBecause = notEstimable;
            return term;
        }
        columns.col(at(i)) = *column;
    }
    const CurveF test = curveF(design, fit, columns);
    if (!test.f || !test.denominatorDf) {
        term.absentBecause = noDf;
        return term;
    }
    term.f = test.f;
    term.denominatorDf = test.denominatorDf;
    term.p = fUpperTail(*test.f, static_cast<double>(term.numeratorDf), *test.denominatorDf);
    return term;
}

TimeCourseTerm absentTerm(const std::string& name, const std::string& reason) {
    TimeCourseTerm term;
    term.term = name;
    term.absentBecause = reason;
    return term;
}

/// Names a food without a value at a time; empty: there is none.
std::string emptyCell(const TimeCourseData& data, const CurveDesign& design) {
    for (Index f = 0; f < design.cellOf.rows(); ++f) {
        for (Index t = 0; t < design.cellOf.cols(); ++t) {
            if (design.cellOf(f, t) < 0) {
                return data.foods[design.foods[static_cast<std::size_t>(f)]] +
                       " has no value at one or more of the times of other foods: the means over the times "
                       "cannot be compared";
            }
        }
    }
    return {};
}

void addTerms(const TimeCourseData& data, const CurveDesign& design, const CurveFit& fit,
              TimeCourse& result) {
    const std::string empty = emptyCell(data, design);
    const auto mainTerm = [&](const char* name, Index levels, auto functions) {
        if (levels < 2) {
            return absentTerm(name, "it has one level");
        }
        return empty.empty() ? termOf(design, fit, name, functions(design)) : absentTerm(name, empty);
    };
    result.terms.push_back(mainTerm("food", design.cellOf.rows(), foodFunctions));
    result.terms.push_back(mainTerm("time", design.cellOf.cols(), timeFunctions));
    if (design.cellOf.rows() < 2 || design.cellOf.cols() < 2) {
        result.terms.push_back(absentTerm("food x time", "food or time has one level"));
    } else {
        const auto functions = interactionFunctions(design);
        result.terms.push_back(functions.empty()
                                   ? absentTerm("food x time", "too few foods have values at the same times")
                                   : termOf(design, fit, "food x time", functions));
        if (!empty.empty() && !functions.empty()) {
            result.notes.push_back("food x time is tested on the foods and times that have values alone");
        }
    }
    if (design.periods.size() > 1) {
        std::vector<CurveFunction> functions;
        for (const std::size_t level : design.keptPeriods) {
            functions.push_back(noFunction(design));
            functions.back().periods[at(level) - 1] = 1.0;
        }
        const bool partly = !design.droppedPeriods.empty();
        result.terms.push_back(partly ? absentTerm("period", "foods and times leave not all of it to test")
                                      : termOf(design, fit, "period", functions));
    }
}

struct Inference {
    std::optional<double> estimate, se, df, t, p, ciLow, ciHigh;
    std::string absentBecause;
};

Inference inferenceOf(const CurveDesign& design, const CurveEstimate& e, double alpha) {
    Inference r;
    const auto back = [&](double x) { return scaledBack(x * design.unit, design.exponent); };
    r.estimate = back(e.estimate);
    r.se = back(e.se);
    if (!r.estimate || !r.se || *r.se < std::numeric_limits<double>::min()) {
        r = {};
        r.absentBecause = tooLarge;
        return r;
    }
    if (!e.df) {
        r.absentBecause = noDf;
        return r;
    }
    r.df = e.df;
    r.t = e.estimate / e.se;
    r.p = studentTTwoSidedP(*r.t, *e.df);
    if (const auto quantile = studentTUpperQuantile(alpha / 2.0, *e.df)) {
        r.ciLow = back(e.estimate - *quantile * e.se);
        r.ciHigh = back(e.estimate + *quantile * e.se);
    }
    if (!r.ciLow || !r.ciHigh) {
        r.ciLow.reset();
        r.ciHigh.reset();
        r.absentBecause = tooLarge;
    }
    return r;
}

/// A function to estimate and where its result goes.
std::vector<Inference> inferencesOf(const CurveDesign& design, const CurveFit& fit,
                                    const std::vector<CurveFunction>& functions, double alpha) {
    std::vector<Inference> result(functions.size());
    MatrixXd columns(design.columns(), at(functions.size()));
    std::vector<std::size_t> which;
    for (std::size_t i = 0; i < functions.size(); ++i) {
        if (const auto column = inColumns(design, functions[i])) {
            columns.col(at(which.size())) = *column;
            which.push_back(i);
        } else {
            result[i].absentBecause = notEstimable;
        }
    }
    const auto estimates = curveEstimates(design, fit, columns.leftCols(at(which.size())));
    for (std::size_t k = 0; k < which.size(); ++k) {
        result[which[k]] = inferenceOf(design, estimates[k], alpha);
    }
    return result;
}

void addMeans(const CurveDesign& design, const CurveFit& fit, double alpha, TimeCourse& result) {
    std::vector<CurveFunction> functions;
    for (Index c = 0; c < design.cells(); ++c) {
        functions.push_back(noFunction(design));
        addCell(design, c, 1.0, functions.back());
    }
    const auto inferences = inferencesOf(design, fit, functions, alpha);
    for (std::size_t f = 0; f < design.foods.size(); ++f) {
        for (std::size_t t = 0; t < design.times.size(); ++t) {
            TimeCourseMean mean;
            mean.food = design.foods[f];
            mean.time = design.times[t];
            const int cell = design.cellOf(at(f), at(t));
            if (cell < 0) {
                mean.absentBecause = "there is no value";
            } else {
                const Inference& r = inferences[static_cast<std::size_t>(cell)];
                mean.values = design.valuesOfCell[static_cast<std::size_t>(cell)];
                mean.estimate = r.estimate;
                mean.se = r.se;
                mean.df = r.df;
                mean.ciLow = r.ciLow;
                mean.ciHigh = r.ciHigh;
                mean.absentBecause = r.absentBecause;
            }
            result.means.push_back(std::move(mean));
        }
    }
}

void adjust(const TimeCourseOptions& options, std::size_t times, TimeCourse& result) {
    const MultiplicityMethod* method = multiplicityMethod(options.multiplicity);
    auto& all = result.differences;
    const std::size_t family = options.family == TimeCourseFamily::all ? all.size() : times;
    for (std::size_t begin = 0; method && begin < all.size(); begin += family) {
        std::vector<std::optional<double>> p;
        for (std::size_t i = begin; i < begin + family; ++i) {
            p.push_back(all[i].p);
        }
        const auto adjusted = method->adjust(p);
        for (std::size_t i = 0; i < family; ++i) {
            all[begin + i].pAdjusted = adjusted[i];
        }
    }
    if (method && !all.empty()) {
        result.notes.push_back(
            "p adjusted: " + std::string(method->label) + ", over " +
            (options.family == TimeCourseFamily::all ? "all differences" : "the times of each food"));
    }
}

void addDifferences(const CurveDesign& design, const CurveFit& fit, const TimeCourseOptions& options,
                    TimeCourse& result) {
    Index comparator = -1;
    for (std::size_t f = 0; f < design.foods.size(); ++f) {
        if (options.comparator && design.foods[f] == *options.comparator) {
            comparator = at(f);
        }
    }
    if (options.comparator && comparator < 0) {
        result.notes.push_back("the comparator has no value: no differences");
    }
    if (comparator < 0) {
        return;
    }
    std::vector<CurveFunction> functions;
    std::vector<std::size_t> place;
    for (Index f = 0; f < design.cellOf.rows(); ++f) {
        for (Index t = 0; f != comparator && t < design.cellOf.cols(); ++t) {
            TimeCourseDifference d;
            d.food = design.foods[static_cast<std::size_t>(f)];
            d.minus = *options.comparator;
            d.time = design.times[static_cast<std::size_t>(t)];
            if (design.cellOf(f, t) < 0 || design.cellOf(comparator, t) < 0) {
                d.absentBecause = "one of the foods has no value at this time";
            } else {
                functions.push_back(noFunction(design));
                addCell(design, design.cellOf(f, t), 1.0, functions.back());
                addCell(design, design.cellOf(comparator, t), -1.0, functions.back());
                place.push_back(result.differences.size());
            }
            result.differences.push_back(std::move(d));
        }
    }
    const auto inferences = inferencesOf(design, fit, functions, options.alpha);
    for (std::size_t i = 0; i < place.size(); ++i) {
        TimeCourseDifference& d = result.differences[place[i]];
        const Inference& r = inferences[i];
        d.estimate = r.estimate;
        d.se = r.se;
        d.df = r.df;
        d.t = r.t;
        d.p = r.p;
        d.ciLow = r.ciLow;
        d.ciHigh = r.ciHigh;
        d.absentBecause = r.absentBecause;
    }
    adjust(options, design.times.size(), result);
}

}  // namespace

TimeCourse timeCourse(const TimeCourseData& data, const TimeCourseOptions& options,
                      const Progress& progress) {
    assert(options.alpha > 0.0 && options.alpha < 1.0 && multiplicityMethod(options.multiplicity));
    TimeCourse result;
    const CurveDesign design = curveDesign(data);
    result.rows = design.rows;
    result.subjects = design.subjects;
    result.curves = design.curves;
    result.notes = design.notes;
    result.absentBecause = design.absentBecause;
    if (!result.absentBecause.empty()) {
        return result;
    }
    for (const std::size_t level : design.droppedPeriods) {
        result.notes.push_back("period " + data.periods[design.periods[level]] +
                               " cannot be told from foods and times: what hangs on it is absent");
    }
    const CurveFit fit = curveFit(design, options.covariance, progress);
    result.notes.insert(result.notes.end(), fit.notes.begin(), fit.notes.end());
    result.converged = fit.converged;
    result.absentBecause = fit.failed;
    if (!result.absentBecause.empty()) {
        return result;
    }
    addVariances(design, fit, result);
    addTerms(data, design, fit, result);
    addMeans(design, fit, options.alpha, result);
    addDifferences(design, fit, options, result);
    return result;
}

}  // namespace aftercurve
