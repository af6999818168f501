#include "core/compare/mixed_model.h"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>
#include <map>
#include <numbers>
#include <numeric>

#include "core/compare/contrast_tests.h"
#include "core/compare/distributions.h"
#include "core/compare/fixed_design.h"
#include "core/compare/reml_fit.h"
#include "core/compare/scaled.h"

namespace aftercurve {

namespace {

using Eigen::Index;
using Eigen::VectorXd;

// As in pairedDifferences, for values scaled to a largest of about 1.
constexpr double resolution = 1e-11;
constexpr const char* notEstimable = "the design cannot tell this from the effects of the other factors";
constexpr const char* tooLarge = "a result is too large for the number format";
constexpr const char* noDf = "no degrees of freedom can be found";

Index at(std::size_t i) {
    return static_cast<Index>(i);
}

/// The data with unused subjects and levels taken out and values near 1.
struct Prepared {
    MixedModelData data;
    std::vector<std::size_t> originalLevel;  ///< of the first factor
    std::size_t subjects = 0;
    VectorXd value;
    int exponent = 0;
};

void keepUsedLevels(MixedModelData& data, std::size_t factor) {
    std::vector<std::string>& names = data.factors[factor].levels;
    std::vector<bool> used(names.size());
    for (const MixedModelRow& row : data.rows) {
        if (row.levels[factor] != noLevel) {
            used[row.levels[factor]] = true;
        }
    }
    std::vector<std::size_t> position(names.size());
    std::vector<std::string> kept;
    for (std::size_t l = 0; l < names.size(); ++l) {
        position[l] = kept.size();
        if (used[l]) {
            kept.push_back(names[l]);
        }
    }
    names = std::move(kept);
    for (MixedModelRow& row : data.rows) {
        if (row.levels[factor] != noLevel) {
            row.levels[factor] = position[row.levels[factor]];
        }
    }
}

Prepared prepared(const MixedModelData& data) {
    Prepared p;
    p.data = data;
    std::vector<bool> used(data.factors.front().levels.size());
    std::map<std::size_t, std::size_t> subjects;
    for (MixedModelRow& row : p.data.rows) {
        used[row.levels.front()] = true;
        row.subject = subjects.emplace(row.subject, subjects.size()).first->second;
    }
    p.subjects = subjects.size();
    for (std::size_t l = 0; l < used.size(); ++l) {
        if (used[l]) {
            p.originalLevel.push_back(l);
        }
    }
    for (std::size_t f = 0; f < data.factors.size(); ++f) {
        keepUsedLevels(p.data, f);
    }
    return p;
}

/// False where a value is not finite.
bool scaleValues(Prepared& p) {
    std::vector<double> value;
    value.reserve(p.data.rows.size());
    for (const MixedModelRow& row : p.data.rows) {
        value.push_back(row.value);
    }
    const auto scaled = scaledNearOne(value);
    if (scaled) {
        p.value = Eigen::Map<const VectorXd>(scaled->value.data(), at(scaled->value.size()));
        p.exponent = scaled->exponent;
    }
    return scaled.has_value();
}

std::string nameOf(const MixedModelData& data, const FixedDesign::Term& term) {
    return term.factor ? data.factors[*term.factor].name + " " + data.factors[*term.factor].levels[term.level]
                       : "intercept";
}

/// Why there is nothing to fit; empty: there is.
std::string whyNoFit(const Prepared& p, const FixedDesign& design) {
    const std::size_t n = p.data.rows.size();
    if (n == p.subjects) {
        return "no subject has two values: variation between and within subjects cannot be told apart";
    }
    if (n == p.subjects + design.withinRank) {
        return "no degree of freedom is left within subjects: the factors explain every difference there";
    }
    if (p.subjects + design.withinRank == design.rank()) {
        return "no degree of freedom is left between subjects: the factors explain every difference there";
    }
    return {};
}

/// Adds a mean of `level` of the first factor, times `sign`, to a function of the terms' coefficients. The
/// other factors' levels have equal weight; effects that sum to 0 drop out.
void addMean(const Prepared& p, const FixedDesign& design, std::size_t level, double sign,
             VectorXd& function) {
    for (std::size_t j = 0; j < design.terms.size(); ++j) {
        const FixedDesign::Term& term = design.terms[j];
        if (!term.factor) {
            function[at(j)] += sign;
        } else if (*term.factor == 0) {
            function[at(j)] += term.level == level ? sign : 0.0;
        } else if (!p.data.factors[*term.factor].mayBeAbsent) {
            function[at(j)] += sign / static_cast<double>(p.data.factors[*term.factor].levels.size());
        }
    }
}

struct Estimated {
    std::optional<double> estimate, se, df, t, p, ciLow, ciHigh;
    std::string absentBecause;
};

Estimated estimated(const FixedDesign& design, const RemlFit& fit, const ContrastInference& inference,
                    const VectorXd& function, int exponent, double alpha) {
    Estimated result;
    const auto k = inBasis(design, function);
    if (!k) {
        result.absentBecause = notEstimable;
        return result;
    }
    const double estimate = k->dot(fit.coefficients);
    const double se = std::sqrt(fit.residualVariance * k->dot(inference.covariance * *k));
    result.estimate = scaledBack(estimate, exponent);
    result.se = scaledBack(se, exponent);
    result.df = contrastDf(fit, inference, *k);
    if (!result.df) {
        result.absentBecause = noDf;
        return result;
    }
    result.t = estimate / se;
    result.p = studentTTwoSidedP(*result.t, *result.df);
    if (const auto quantile = studentTUpperQuantile(alpha / 2.0, *result.df)) {
        result.ciLow = scaledBack(estimate - *quantile * se, exponent);
        result.ciHigh = scaledBack(estimate + *quantile * se, exponent);
    }
    if (!result.ciLow || !result.ciHigh) {
        result.ciLow.reset();
        result.ciHigh.reset();
    }
    if (!result.estimate || !result.se || !result.ciLow) {
        result.absentBecause = tooLarge;
    }
    return result;
}

struct LevelPair {
    std::size_t level = 0;
    std::size_t minus = 0;
};

/// Pairs of positions in `levels`: against the comparator first, then the others, later − earlier.
std::vector<LevelPair> pairsOf(const std::vector<std::size_t>& levels,
                               std::optional<std::size_t> comparator) {
    std::vector<LevelPair> pairs;
    const auto isComparator = [&](std::size_t i) { return comparator && levels[i] == *comparator; };
    for (std::size_t c = 0; c < levels.size(); ++c) {
        for (std::size_t i = 0; i < levels.size() && isComparator(c); ++i) {
            if (i != c) {
                pairs.push_back({i, c});
            }
        }
    }
    for (std::size_t b = 0; b < levels.size(); ++b) {
        for (std::size_t a = b + 1; a < levels.size(); ++a) {
            if (!isComparator(a) && !isComparator(b)) {
                pairs.push_back({a, b});
            }
        }
    }
    return pairs;
}

ModelTerm termOf(const Prepared& p, const FixedDesign& design, const RemlFit& fit,
                 const ContrastInference& inference, std::size_t factor) {
    ModelTerm term;
    term.factor = p.data.factors[factor].name;
    const Eigen::MatrixXd contrasts = typeThree(design, factor);
    term.numeratorDf = static_cast<std::size_t>(contrasts.rows());
    if (term.numeratorDf == 0) {
        const std::size_t levels = p.data.factors[factor].levels.size();
        term.absentBecause = levels == 0   ? "no row has a level of it"
                             : levels == 1 ? "it has one level"
                                           : "the other factors leave nothing of it to test";
        return term;
    }
    const ContrastF test = contrastF(fit, inference, contrasts);
    term.f = test.f;
    term.denominatorDf = test.denominatorDf;
    if (!test.f || !test.denominatorDf) {
        term.absentBecause = noDf;
        return term;
    }
    term.p = fUpperTail(*test.f, static_cast<double>(term.numeratorDf), *test.denominatorDf);
    return term;
}

/// Unit vector of a function for correlations: Lᵀk/|Lᵀk|, covariance = LLᵀ.
std::vector<double> directionOf(const FixedDesign& design, const Eigen::LLT<Eigen::MatrixXd>& cholesky,
                                const VectorXd& function) {
    const auto k = inBasis(design, function);
    if (!k || cholesky.info() != Eigen::Success) {
        return {};
    }
    const VectorXd turned = cholesky.matrixU() * *k;
    const double length = turned.norm();
    if (!(length > 0.0)) {
        return {};
    }
    std::vector<double> direction;
    for (const double x : turned) {
        direction.push_back(x / length);
    }
    return direction;
}

void addMeans(const Prepared& p, const FixedDesign& design, const RemlFit& fit,
              const ContrastInference& inference, const MixedModelOptions& options, MixedModel& model) {
    const auto terms = at(design.terms.size());
    for (std::size_t l = 0; l < p.originalLevel.size(); ++l) {
        VectorXd function = VectorXd::Zero(terms);
        addMean(p, design, l, 1.0, function);
        Estimated e = estimated(design, fit, inference, function, p.exponent, options.alpha);
        model.means.push_back(
            {p.originalLevel[l], e.estimate, e.se, e.df, e.ciLow, e.ciHigh, std::move(e.absentBecause)});
    }
    const Eigen::LLT<Eigen::MatrixXd> cholesky(inference.covariance);
    for (const LevelPair& pair : pairsOf(p.originalLevel, options.comparator)) {
        VectorXd function = VectorXd::Zero(terms);
        addMean(p, design, pair.level, 1.0, function);
        addMean(p, design, pair.minus, -1.0, function);
        Estimated e = estimated(design, fit, inference, function, p.exponent, options.alpha);
        model.differences.push_back({p.originalLevel[pair.level], p.originalLevel[pair.minus], e.estimate,
                                     e.se, e.df, e.t, e.p, e.ciLow, e.ciHigh, std::move(e.absentBecause)});
        model.differenceDirections.push_back(directionOf(design, cholesky, function));
    }
}

void addVariances(const Prepared& p, const RemlFit& fit, double residualDf, MixedModel& model) {
    model.boundary = fit.lambda == 0.0;
    model.varianceResidual = scaledBack(fit.residualVariance, 2 * p.exponent);
    model.varianceSubject = scaledBack(fit.lambda * fit.residualVariance, 2 * p.exponent);
    // A density of values twice as large is half as high, for each of the residual degrees of freedom.
    model.remlLogLikelihood = -0.5 * fit.minusTwoLogL - residualDf * p.exponent * std::numbers::ln2;
    // Below the smallest normal number digits are lost, and 0 would claim the boundary.
    if (model.varianceResidual && *model.varianceResidual < std::numeric_limits<double>::min()) {
        model.varianceResidual.reset();
    }
    if (!model.varianceResidual) {
        model.varianceSubject.reset();
    }
}

}  // namespace

MixedModel mixedModel(const MixedModelData& data, const MixedModelOptions& options) {
    assert(!data.factors.empty() && options.alpha > 0.0 && options.alpha < 1.0);
    MixedModel model;
    Prepared p = prepared(data);
    model.rows = p.data.rows.size();
    model.subjects = p.subjects;
    if (p.subjects < 2) {
        model.absentBecause =
            p.subjects == 0 ? "there is no value" : "one subject: nothing to generalise from";
        return model;
    }
    if (!scaleValues(p)) {
        model.absentBecause = "a value is not a finite number";
        return model;
    }
    const FixedDesign design = fixedDesign(p.data, p.subjects);
    for (const std::size_t j : design.dropped) {
        model.dropped.push_back(nameOf(p.data, design.terms[j]));
    }
    model.absentBecause = whyNoFit(p, design);
    if (!model.absentBecause.empty()) {
        return model;
    }
    const RemlFit fit = remlFit(design, p.value, resolution);
    if (!fit.failed.empty()) {
        model.absentBecause = fit.failed;
        return model;
    }
    const auto residualDf = static_cast<double>(model.rows - design.rank());
    const auto inference = contrastInference(fit, options.dfMethod, residualDf);
    if (!inference) {
        model.absentBecause = "the data hold too little information about the variances";
        return model;
    }
    addVariances(p, fit, residualDf, model);
    for (std::size_t f = 0; f < p.data.factors.size(); ++f) {
        model.terms.push_back(termOf(p, design, fit, *inference, f));
    }
    addMeans(p, design, fit, *inference, options, model);
    return model;
}

std::optional<double> differenceCorrelation(const MixedModel& model, std::size_t first, std::size_t second) {
    const std::vector<double>& a = model.differenceDirections[first];
    const std::vector<double>& b = model.differenceDirections[second];
    if (a.empty() || b.empty()) {
        return std::nullopt;
    }
    return std::clamp(std::inner_product(a.begin(), a.end(), b.begin(), 0.0), -1.0, 1.0);
}

std::string_view wordFor(DfMethod method) {
    return method == DfMethod::satterthwaite ? "satterthwaite" : "kenward-roger";
}

std::optional<DfMethod> dfMethodFrom(std::string_view word) {
    for (const DfMethod method : {DfMethod::satterthwaite, DfMethod::kenwardRoger}) {
        if (word == wordFor(method)) {
            return method;
        }
    }
    return std::nullopt;
}

}  // namespace aftercurve
