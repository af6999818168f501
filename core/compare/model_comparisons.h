#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/compare/mixed_model.h"

namespace aftercurve {

/// The hypotheses that are judged together.
enum class ModelFamily { againstComparator, allPairs };

enum class ModelAdjustment { none, bonferroni, holm, hochberg, benjaminiHochberg, tukey, dunnett };

/// "none", "bonferroni", "holm", "hochberg", "benjamini-hochberg", "tukey", "dunnett".
std::string_view wordFor(ModelAdjustment adjustment);
std::optional<ModelAdjustment> modelAdjustmentFrom(std::string_view word);

/// Tukey's is for all pairs, Dunnett's for a comparator; the others suit both.
bool suits(ModelAdjustment adjustment, ModelFamily family);

struct ModelComparison {
    std::size_t difference = 0;  ///< position in MixedModel::differences
    std::optional<double> pAdjusted;
    std::optional<double> ciLow;  ///< simultaneous: all of the family hold at once with confidence 1 − alpha
    std::optional<double> ciHigh;
    std::string absentBecause;          ///< why there is no p
    std::string intervalAbsentBecause;  ///< why there is no interval
};

struct ModelComparisons {
    ModelFamily family = ModelFamily::allPairs;
    ModelAdjustment adjustment = ModelAdjustment::none;
    std::size_t tests = 0;  ///< differences of the family with a p
    std::vector<ModelComparison> comparisons;
    std::string computedBy;               ///< Tukey and Dunnett: how the probabilities were found
    std::optional<double> relativeError;  ///< of p adjusted, where that is more than rounding
    std::string absentBecause;
};

struct ModelComparisonOptions {
    ModelFamily family = ModelFamily::allPairs;
    ModelAdjustment adjustment = ModelAdjustment::none;
    double alpha = 0.05;
    std::optional<std::size_t> comparator;  ///< level of the first factor; for againstComparator
};

/// Adjusted p and simultaneous intervals for the differences of a fitted model. With m tests, |t| and df of
/// each difference:
/// - none: the p and the interval of each by itself (here at alpha);
/// - bonferroni: min(1, m·p); interval with the t quantile at alpha/(2m);
/// - holm, hochberg, benjaminiHochberg: holm.h, hochberg.h, benjamini_hochberg.h; no intervals, since those
///   that belong to a stepwise rule are not of the form estimate ± width;
/// - tukey (Tukey–Kramer): P(Q ≥ √2|t|) of the studentized range of as many groups as the model has means,
/// with
///   the df of the difference; interval ± q/√2·SE. Exact for equal variances and correlations of the means
///   (a complete design), on the safe side where only the SE differ (Hayter 1984, Ann Stat 12:61, shown for
///   independent means) and a good approximation where correlations differ a little. Pairs that the design
///   cannot tell apart still count in the number of groups;
/// - dunnett: P(max|Tᵢ| ≥ |t|) with the correlations of the differences with the comparator as the model
///   estimates them (under Kenward–Roger from the adjusted covariance) and the df of the difference at hand
///   for all of them; interval with that quantile. Exact where df agree and the correlations are known by
///   design.
/// An adjusted p is never below the p it comes from. Absent p stay absent with the reason and do not count in
/// m. Sources: Tukey 1953; Kramer 1956, Biometrics 12:307; Dunnett 1955, J Am Stat Assoc 50:1096 (from
/// memory). Checked against R's emmeans. 0 < alpha < 1.
ModelComparisons modelComparisons(const MixedModel& model, const ModelComparisonOptions& options);

}  // namespace aftercurve
