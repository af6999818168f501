#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace aftercurve {

/// A fixed factor: "food" with the ids of the foods, "period", "sequence", "carry-over".
struct ModelFactor {
    std::string name;
    std::vector<std::string> levels;
    /// A row may have `noLevel` of it: carry-over in a first period. Its effects then sum to 0 over the
    /// levels used, and a row without a level has none of them, so that the means of the first factor are
    /// those with nothing carried over (equally: the average over what may be carried over) and stay
    /// estimable.
    bool mayBeAbsent = false;
};

/// Level of a row in a factor that may be absent.
inline constexpr std::size_t noLevel = static_cast<std::size_t>(-1);

/// One value with its subject and its level of each factor.
struct MixedModelRow {
    std::size_t subject = 0;
    std::vector<std::size_t> levels;  ///< by factor: index into its levels, or noLevel
    double value = 0.0;
};

/// Rows in any order; a missing cell has no row, a replicate is one more row. Subjects may be numbered with
/// gaps, levels may be unused (such a level has no mean).
struct MixedModelData {
    std::vector<ModelFactor> factors;  ///< the first one's means and differences are reported; never absent
    std::vector<MixedModelRow> rows;
};

enum class DfMethod { satterthwaite, kenwardRoger };

/// "satterthwaite", "kenward-roger".
std::string_view wordFor(DfMethod method);
std::optional<DfMethod> dfMethodFrom(std::string_view word);

struct MixedModelOptions {
    double alpha = 0.05;  ///< intervals have confidence 1 − alpha
    DfMethod dfMethod = DfMethod::satterthwaite;
    std::optional<std::size_t> comparator;  ///< level of the first factor
};

struct ModelTerm {
    std::string factor;
    std::size_t numeratorDf = 0;
    std::optional<double> denominatorDf;
    std::optional<double> f;
    std::optional<double> p;
    std::string absentBecause;
};

struct ModelMean {
    std::size_t level = 0;  ///< of the first factor
    std::optional<double> estimate;
    std::optional<double> se;
    std::optional<double> df;
    std::optional<double> ciLow;
    std::optional<double> ciHigh;
    std::string absentBecause;
};

struct ModelDifference {
    std::size_t level = 0;
    std::size_t minus = 0;  ///< estimate = mean of `level` − mean of `minus`
    std::optional<double> estimate;
    std::optional<double> se;
    std::optional<double> df;
    std::optional<double> t;
    std::optional<double> p;  ///< two-sided, not adjusted
    std::optional<double> ciLow;
    std::optional<double> ciHigh;
    std::string absentBecause;
};

/// Linear mixed model with a random intercept for each subject, fitted by REML.
/// Model: y = Xβ + u(subject) + e; u ~ N(0, σ²u), e ~ N(0, σ²), all independent. So two values of one subject
/// have the covariance σ²u, whichever they are (compound symmetry). The fixed part holds an intercept and the
/// factors' main effects, no interaction.
///
/// REML: with λ = σ²u/σ² and V = σ²(I + λ11ᵀ) for each subject, −2 log L = log|V| + log|XᵀV⁻¹X| + rᵀV⁻¹r +
/// (n − rank) log 2π is minimised over λ ≥ 0 alone (β and σ² are known given λ). The derivative is computed
/// in closed form and every sign change from λ = 0 to 1e18 is refined to rounding; the lowest minimum counts.
/// λ = 0 is a possible answer: `boundary`; the subjects then vary no more than the residual explains, and the
/// fit is that of an ordinary linear model.
///
/// Means: estimated marginal means of the first factor, over the other factors with equal weight to each
/// level used (a factor that may be absent adds nothing). Differences: with a comparator, first each level −
/// comparator, then the other pairs, later level − earlier. Terms: F of the factor given all others (type
/// III). Functions that the data cannot determine (an incomplete design) are absent with the reason.
///
/// Degrees of freedom. `satterthwaite`: SE from the estimated covariance of β; df = 2 var²/(gᵀ A g), g the
/// gradient of the variance of the function in (σ², σ²u), A twice the inverse of the observed Hessian of
/// −2 log L; F with more than one contrast by the eigenvectors of their covariance and the moment rule of Fai
/// & Cornelius, as R's lmerTest does, with treatment coding by the first level (a factor that may be absent:
/// each later level against the first). At the boundary df = n −
/// rank. `kenwardRoger`: covariance of β adjusted for small samples, df and scale of F matched to two
/// moments, from the expected information, as R's pbkrtest does (at the boundary too).
///
/// Missing rows: nothing is imputed; estimates are valid where a value is missing at random (whether it is
/// missing does not depend on what it would have been, given the values and factors that are there).
/// Assumes independent subjects and near normal u and e of constant variance.
///
/// Absent, with the reason in `absentBecause`: fewer than two subjects; no subject with two rows; no residual
/// degree of freedom within or between subjects; a value that is not finite; values that the factors (or
/// factors and subjects) reproduce exactly; no minimum up to λ = 1e18; a result too large for a double.
/// Levels dropped because earlier terms explain them stand in `dropped` ("period 3").
/// Sources: Patterson & Thompson 1971, Biometrika 58:545 (REML); Giesbrecht & Burns 1985, Biometrics 41:477,
/// and Fai & Cornelius 1996, J Stat Comput Simul 54:363 (Satterthwaite); Kenward & Roger 1997, Biometrics
/// 53:983. All from memory, checked against R's lme4, lmerTest, emmeans and pbkrtest.
struct MixedModel {
    std::size_t rows = 0;
    std::size_t subjects = 0;
    std::optional<double> varianceSubject;
    std::optional<double> varianceResidual;
    std::optional<double> remlLogLikelihood;
    bool boundary = false;
    std::vector<std::string> dropped;
    std::vector<ModelTerm> terms;
    std::vector<ModelMean> means;
    std::vector<ModelDifference> differences;
    std::string absentBecause;
    /// By difference: a unit vector; the product of two is the correlation of the differences (from the same
    /// covariance as the SE). Empty where the difference is absent.
    std::vector<std::vector<double>> differenceDirections;
};

/// 0 < alpha < 1; at least one factor; each row has one level of each factor, in range.
MixedModel mixedModel(const MixedModelData& data, const MixedModelOptions& options);

/// Correlation of two differences, by their positions; nothing where one is absent.
std::optional<double> differenceCorrelation(const MixedModel& model, std::size_t first, std::size_t second);

}  // namespace aftercurve
