#include "core/compare/ordinal_mixed.h"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cassert>
#include <cmath>
#include <numeric>
#include <set>

#include "core/base/number_text.h"
#include "core/compare/distributions.h"
#include "core/compare/ordinal_likelihood.h"

namespace aftercurve {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr std::size_t mostLevels = 50;  // of categories and of groups: what the search takes with ease
constexpr double leastGain = 1e-8;      // of log L: below this σ is at its bound
// Beyond, subjects explain more than 96 % of the variance of the logit scale, and the likelihood is flat up
// to a σ without end (common practice, no source).
constexpr double largestSd = 10.0;
constexpr double mostQuadratureError = 1e-3;  // of log L
// Twice the fall of −log L that another Newton step foretells.
constexpr double mostDecrement = 1e-7;

struct Fit {
    VectorXd at;
    MatrixXd hessian;  ///< of −log L by all parameters, or by all but σ at its bound
    double logLikelihood = 0.0;
    double sigma = 0.0;
    std::string failed;
};

/// The logits of the pooled shares, all groups alike, σ = 0.
VectorXd startOf(const OrdinalForm& form) {
    VectorXd x = VectorXd::Zero(form.parameters);
    const auto n = static_cast<double>(form.scores);
    double below = 0.0;
    double before = 0.0;
    for (std::size_t j = 0; j < form.thresholdAt.size(); ++j) {
        below += static_cast<double>(form.categoryCounts[j]);
        const double logit = std::log(below / (n - below));
        if (form.thresholdAt[j] >= 0) {
            x[form.thresholdAt[j]] = form.chained[j] ? std::log(logit - before) : logit;
        }
        before = logit;
    }
    return x;
}

Fit fitOf(const OrdinalForm& form, const NormalQuadrature& quadrature) {
    const HeightAt height = [&](const VectorXd& x) { return minusLogLikelihood(form, quadrature, x); };
    const VectorXd curvature =
        VectorXd::Constant(form.parameters, std::max(1.0, 0.1 * static_cast<double>(form.scores)));
    const auto stepOf = [](Index, double x) { return 2e-5 * std::max(1.0, std::abs(x)); };
    std::vector<Index> all(static_cast<std::size_t>(form.parameters));
    std::iota(all.begin(), all.end(), 0);
    const std::vector<Index> withoutSigma(all.begin(), all.end() - 1);

    const Minimum fixed = descended(height, startOf(form), withoutSigma, curvature);
    VectorXd start = fixed.at;
    start[form.sigmaAt()] = 1.0;
    const Minimum mixed = descended(height, start, all, curvature);
    // The likelihood may have a second maximum inside while it falls from σ = 0 at first.
    const bool inside = fixed.found && mixed.found && mixed.height.value < fixed.height.value - leastGain;
    const Minimum best =
        inside ? polished(height, mixed, all, stepOf) : polished(height, fixed, withoutSigma, stepOf);
    Fit fit;
    fit.at = best.at;
    fit.hessian = best.hessian;
    fit.logLikelihood = -best.height.value;
    fit.sigma = inside ? std::abs(best.at[form.sigmaAt()]) : 0.0;
    if (fit.sigma > largestSd) {
        fit.failed =
            "each subject's scores fit together without scatter: the spread between subjects has no finite "
            "estimate";
    } else if (!best.found || !best.curved || !(best.decrement < mostDecrement) ||
               (!inside && varianceSlopeAtZero(form, best.at) > 1e-3)) {
        fit.failed = "the search for the greatest likelihood found no clear end";
    }
    return fit;
}

std::string whyNoEffect(const OrdinalForm& form, std::size_t group) {
    const bool oneCategory = form.inOneCategory[group];
    const std::string where = oneCategory ? "every score is in one end category"
                              : form.inOneCategory[0]
                                  ? "every score of the group that it is set against is in "
                                    "one end category"
                                  : "its scores lie apart from those it is set against";
    switch (form.reach[group]) {
        case OrdinalReach::finite:
            return {};
        case OrdinalReach::noScore:
            return "no score";
        case OrdinalReach::rises:
            return where + ": the estimate rises without end";
        case OrdinalReach::falls:
            return where + ": the estimate falls without end";
        case OrdinalReach::undetermined:
            break;
    }
    return where + ": nothing tells how far it lies from them";
}

void addEffects(const OrdinalForm& form, const Fit& fit, double alpha, OrdinalMixed& model) {
    const MatrixXd covariance =
        Eigen::LLT<MatrixXd>(fit.hessian).solve(MatrixXd::Identity(fit.hessian.rows(), fit.hessian.cols()));
    const auto quantile = normalUpperQuantile(alpha / 2.0);
    for (OrdinalEffect& effect : model.effects) {
        effect.absentBecause = whyNoEffect(form, effect.group);
        if (!effect.absentBecause.empty()) {
            continue;
        }
        const Index at = form.groupAt[effect.group];
        const double se = std::sqrt(covariance(at, at));
        effect.logOdds = fit.at[at];
        effect.se = se;
        effect.z = *effect.logOdds / se;
        if (const auto tail = normalUpperTail(std::abs(*effect.z))) {
            effect.p = std::min(1.0, 2.0 * *tail);
        }
        if (quantile) {
            effect.ciLow = *effect.logOdds - *quantile * se;
            effect.ciHigh = *effect.logOdds + *quantile * se;
        }
    }
}

void addNote(const std::string& text, OrdinalMixed& model) {
    model.note += (model.note.empty() ? "" : "; ") + text;
}

void addRatio(std::span<const OrdinalRow> rows, const OrdinalForm& form, const Fit& fit,
              const NormalQuadrature& quadrature, OrdinalMixed& model) {
    if (form.groupsWithScores < 2) {
        addNote("one group only: nothing to compare", model);
        return;
    }
    std::vector<OrdinalRow> alike(rows.begin(), rows.end());
    for (OrdinalRow& row : alike) {
        row.group = 0;
    }
    const Fit without = fitOf(ordinalForm(alike, 1), quadrature);
    if (!without.failed.empty()) {
        addNote("no likelihood ratio: without groups, " + without.failed, model);
        return;
    }
    model.df = static_cast<double>(form.groupsWithScores - 1);
    model.likelihoodRatio = std::max(0.0, 2.0 * (fit.logLikelihood - without.logLikelihood));
    model.p = chiSquareUpperTail(*model.likelihoodRatio, model.df);
}

void addNotes(const OrdinalForm& form, const Fit& fit, OrdinalMixed& model) {
    const auto fine = minusLogLikelihood(form, normalQuadrature(63), fit.at);
    const double off = fine ? std::abs(fine->value + fit.logLikelihood) : 0.0;
    if (!(off <= mostQuadratureError)) {
        addNote("the quadrature is off by " + fixedNumber(off, 3) + " in log L", model);
    }
    if (form.categoryCounts.size() < model.counts.size()) {
        const std::size_t empty = model.counts.size() - form.categoryCounts.size();
        addNote(std::to_string(empty) +
                    (empty == 1 ? " category has no score and was joined"
                                : " categories have no score and were joined") +
                    " with its neighbour",
                model);
    }
    if (model.subjectSd == 0.0) {
        addNote("the spread between subjects is at its bound, 0: the fit is that without subjects", model);
    }
    const auto finite = [](OrdinalReach reach) {
        return reach == OrdinalReach::finite || reach == OrdinalReach::noScore;
    };
    if (!std::all_of(form.reach.begin(), form.reach.end(), finite)) {
        addNote("scores of groups lie apart: the likelihood is that of the limit", model);
    }
}

/// What stands against a fit before any search; the counts of `model` are filled.
std::string whyNoFit(std::span<const OrdinalRow> rows, const OrdinalMixed& model) {
    if (model.n == 0) {
        return "there is no score";
    }
    if (model.subjects < 2) {
        return "one subject: nothing to generalise from";
    }
    if (std::none_of(rows.begin(), rows.end(), [](const OrdinalRow& row) { return row.group == 0; })) {
        return "the group that the others are set against has no score";
    }
    const auto used = std::count_if(model.counts.begin(), model.counts.end(), [](auto n) { return n > 0; });
    return used < 2 ? "every score is in one category" : std::string{};
}

}  // namespace

std::string OrdinalOptions::validate() const {
    if (!(alpha > 0.0 && alpha < 1.0)) {
        return "alpha must lie between 0 and 1";
    }
    return quadraturePoints < 1 || quadraturePoints > 63 ? "quadrature points must be 1 to 63"
                                                         : std::string{};
}

OrdinalMixed ordinalMixed(std::span<const OrdinalRow> rows, const OrdinalOptions& options) {
    assert(options.validate().empty());
    OrdinalMixed model;
    model.n = rows.size();
    std::set<std::size_t> subjects;
    std::size_t category = 0;
    std::size_t group = 0;
    for (const OrdinalRow& row : rows) {
        subjects.insert(row.subject);
        category = std::max(category, row.category);
        group = std::max(group, row.group);
    }
    model.subjects = subjects.size();
    if (category >= mostLevels || group >= mostLevels) {
        model.absentBecause =
            "more than " + std::to_string(mostLevels) + (category >= mostLevels ? " categories" : " groups");
        return model;
    }
    model.counts.assign(rows.empty() ? 0 : category + 1, 0);
    model.effects.resize(group);
    for (std::size_t g = 1; g <= group; ++g) {
        model.effects[g - 1].group = g;
    }
    for (const OrdinalRow& row : rows) {
        ++model.counts[row.category];
        if (row.group > 0) {
            ++model.effects[row.group - 1].n;
        }
    }
    model.absentBecause = whyNoFit(rows, model);
    if (!model.absentBecause.empty()) {
        return model;
    }
    const OrdinalForm form = ordinalForm(rows, group + 1);
    if (form.parameters == 1) {
        model.absentBecause = "the scores of the groups lie apart: no effect has a finite estimate";
        return model;
    }
    if (!form.subjectsTellSpread) {
        model.absentBecause =
            "no subject has two scores that count: spread between and within subjects cannot be told apart";
        return model;
    }
    const NormalQuadrature quadrature = normalQuadrature(options.quadraturePoints);
    const Fit fit = fitOf(form, quadrature);
    model.absentBecause = fit.failed;
    if (!model.usable()) {
        return model;
    }
    model.subjectSd = fit.sigma;
    model.logLikelihood = fit.logLikelihood;
    if (std::all_of(form.thresholdIsFinite.begin(), form.thresholdIsFinite.end(), [](bool b) { return b; })) {
        model.thresholds = thresholdsOf(form, fit.at);
    }
    addEffects(form, fit, options.alpha, model);
    addRatio(rows, form, fit, quadrature, model);
    addNotes(form, fit, model);
    return model;
}

}  // namespace aftercurve
