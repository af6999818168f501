#include "core/compare/model_comparisons.h"

#include <Eigen/Core>
#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <numbers>

#include "core/compare/benjamini_hochberg.h"
#include "core/compare/distributions.h"
#include "core/compare/hochberg.h"
#include "core/compare/holm.h"
#include "core/compare/many_to_one.h"
#include "core/compare/studentized_range.h"

namespace aftercurve {

namespace {

using Eigen::Index;

constexpr std::array<std::pair<ModelAdjustment, std::string_view>, 7> words{
    {{ModelAdjustment::none, "none"},
     {ModelAdjustment::bonferroni, "bonferroni"},
     {ModelAdjustment::holm, "holm"},
     {ModelAdjustment::hochberg, "hochberg"},
     {ModelAdjustment::benjaminiHochberg, "benjamini-hochberg"},
     {ModelAdjustment::tukey, "tukey"},
     {ModelAdjustment::dunnett, "dunnett"}}};

constexpr const char* stepwise = "a stepwise adjustment has no intervals of this form";
constexpr const char* notComputed = "the probability could not be computed";

std::vector<std::size_t> familyOf(const MixedModel& model, const ModelComparisonOptions& options) {
    std::vector<std::size_t> family;
    for (std::size_t i = 0; i < model.differences.size(); ++i) {
        const ModelDifference& d = model.differences[i];
        if (options.family == ModelFamily::allPairs || d.level == options.comparator ||
            d.minus == options.comparator) {
            family.push_back(i);
        }
    }
    return family;
}

std::string whyNone(const MixedModel& model, const ModelComparisonOptions& options) {
    if (!model.absentBecause.empty()) {
        return model.absentBecause;
    }
    if (!suits(options.adjustment, options.family)) {
        return options.adjustment == ModelAdjustment::tukey
                   ? "Tukey's adjustment is for all pairs, not for differences with a comparator"
                   : "Dunnett's adjustment is for differences with a comparator, not for all pairs";
    }
    if (options.family == ModelFamily::againstComparator) {
        if (!options.comparator) {
            return "no comparator is named";
        }
        if (std::none_of(model.means.begin(), model.means.end(),
                         [&](const ModelMean& m) { return m.level == *options.comparator; })) {
            return "the comparator has no value";
        }
    }
    if (model.differences.empty()) {
        return "there is one level: nothing to compare";
    }
    return {};
}

/// Estimate ± quantile · SE, the SE being of the difference.
void setInterval(const ModelDifference& d, std::optional<double> quantile, ModelComparison& comparison) {
    if (!quantile) {
        comparison.intervalAbsentBecause = notComputed;
        return;
    }
    if (d.estimate && d.se) {
        const double low = *d.estimate - *quantile * *d.se;
        const double high = *d.estimate + *quantile * *d.se;
        if (std::isfinite(low) && std::isfinite(high)) {
            comparison.ciLow = low;
            comparison.ciHigh = high;
            return;
        }
    }
    comparison.intervalAbsentBecause = "a result is too large for the number format";
}

/// The quantile of each df once.
template <typename Quantile>
class ByDf {
  public:
    explicit ByDf(Quantile quantile) : quantile_(std::move(quantile)) {}

    std::optional<double> operator()(double df) {
        // Numbers of degrees of freedom that differ by rounding alone share one.
        const auto near = known_.lower_bound(df * (1.0 - 1e-12));
        if (near != known_.end() && near->first <= df * (1.0 + 1e-12)) {
            return near->second;
        }
        return known_.emplace(df, quantile_(df)).first->second;
    }

  private:
    Quantile quantile_;
    std::map<double, std::optional<double>> known_;
};

template <typename Tail, typename Quantile>
void setEach(const MixedModel& model, Tail tail, Quantile quantile, ModelComparisons& result) {
    ByDf<Quantile> byDf(quantile);
    for (ModelComparison& comparison : result.comparisons) {
        const ModelDifference& d = model.differences[comparison.difference];
        if (!d.p) {
            continue;
        }
        comparison.pAdjusted = tail(d);
        if (comparison.pAdjusted) {
            comparison.pAdjusted = std::clamp(*comparison.pAdjusted, *d.p, 1.0);
        } else {
            comparison.absentBecause = notComputed;
        }
        setInterval(d, byDf(*d.df), comparison);
    }
}

void setStepwise(const MixedModel& model, ModelComparisons& result) {
    std::vector<std::optional<double>> p;
    for (const ModelComparison& comparison : result.comparisons) {
        p.push_back(model.differences[comparison.difference].p);
    }
    const auto adjusted = result.adjustment == ModelAdjustment::holm       ? holmAdjusted(p)
                          : result.adjustment == ModelAdjustment::hochberg ? hochbergAdjusted(p)
                                                                           : benjaminiHochbergAdjusted(p);
    for (std::size_t i = 0; i < adjusted.size(); ++i) {
        result.comparisons[i].pAdjusted = adjusted[i];
        if (adjusted[i]) {
            result.comparisons[i].intervalAbsentBecause = stepwise;
        }
    }
}

void setTukey(const MixedModel& model, double alpha, ModelComparisons& result) {
    if (model.means.size() > 100) {
        result.absentBecause = "more than 100 levels";
        return;
    }
    StudentizedRange range(model.means.size());
    result.computedBy = "double integral";
    setEach(
        model,
        [&](const ModelDifference& d) {
            return range.upperTail(std::abs(*d.t) * std::numbers::sqrt2, *d.df);
        },
        [&](double df) {
            auto q = range.upperQuantile(alpha, df);
            if (q) {
                *q /= std::numbers::sqrt2;
            }
            return q;
        },
        result);
}

void setDunnett(const MixedModel& model, double alpha, ModelComparisons& result) {
    std::vector<std::size_t> present;
    for (const ModelComparison& comparison : result.comparisons) {
        if (model.differences[comparison.difference].p) {
            present.push_back(comparison.difference);
        }
    }
    const auto size = static_cast<Index>(present.size());
    if (size == 0) {
        return;
    }
    Eigen::MatrixXd correlation = Eigen::MatrixXd::Identity(size, size);
    for (Index i = 0; i < size; ++i) {
        for (Index j = 0; j < i; ++j) {
            const auto rho = differenceCorrelation(model, present[static_cast<std::size_t>(i)],
                                                   present[static_cast<std::size_t>(j)]);
            if (!rho) {
                result.absentBecause = "the correlations of the differences could not be found";
                return;
            }
            correlation(i, j) = correlation(j, i) = *rho;
        }
    }
    ManyToOne manyToOne(correlation);
    const MaxAbsT trial = manyToOne.upperTail(1.0, 10.0);
    if (!trial.value) {
        result.absentBecause = trial.absentBecause;
        return;
    }
    result.computedBy = labelOf(trial.method);
    if (trial.method == MaxAbsTMethod::lattice) {
        result.relativeError = trial.relativeError;
    }
    setEach(
        model, [&](const ModelDifference& d) { return manyToOne.upperTail(std::abs(*d.t), *d.df).value; },
        [&](double df) { return manyToOne.upperQuantile(alpha, df).value; }, result);
}

}  // namespace

std::string_view wordFor(ModelAdjustment adjustment) {
    return std::find_if(words.begin(), words.end(), [&](const auto& w) { return w.first == adjustment; })
        ->second;
}

std::optional<ModelAdjustment> modelAdjustmentFrom(std::string_view word) {
    const auto* const found =
        std::find_if(words.begin(), words.end(), [&](const auto& w) { return w.second == word; });
    return found == words.end() ? std::nullopt : std::optional{found->first};
}

bool suits(ModelAdjustment adjustment, ModelFamily family) {
    if (adjustment == ModelAdjustment::tukey) {
        return family == ModelFamily::allPairs;
    }
    return adjustment != ModelAdjustment::dunnett || family == ModelFamily::againstComparator;
}

ModelComparisons modelComparisons(const MixedModel& model, const ModelComparisonOptions& options) {
    ModelComparisons result;
    result.family = options.family;
    result.adjustment = options.adjustment;
    result.absentBecause = whyNone(model, options);
    if (!result.absentBecause.empty()) {
        return result;
    }
    for (const std::size_t i : familyOf(model, options)) {
        ModelComparison comparison;
        comparison.difference = i;
        const ModelDifference& d = model.differences[i];
        if (d.p) {
            ++result.tests;
        } else {
            comparison.absentBecause = d.absentBecause;
            comparison.intervalAbsentBecause = d.absentBecause;
        }
        result.comparisons.push_back(std::move(comparison));
    }
    const double m =
        options.adjustment == ModelAdjustment::bonferroni ? static_cast<double>(result.tests) : 1.0;
    switch (options.adjustment) {
        case ModelAdjustment::none:
        case ModelAdjustment::bonferroni:
            setEach(
                model, [&](const ModelDifference& d) { return std::optional{m * *d.p}; },
                [&](double df) { return absTUpperQuantile(options.alpha / m, df); }, result);
            break;
        case ModelAdjustment::holm:
        case ModelAdjustment::hochberg:
        case ModelAdjustment::benjaminiHochberg:
            setStepwise(model, result);
            break;
        case ModelAdjustment::tukey:
            setTukey(model, options.alpha, result);
            break;
        case ModelAdjustment::dunnett:
            setDunnett(model, options.alpha, result);
            break;
    }
    if (!result.absentBecause.empty()) {
        result.comparisons.clear();
    }
    return result;
}

}  // namespace aftercurve
