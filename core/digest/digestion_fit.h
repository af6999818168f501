#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace aftercurve {

/// A point of a digestion curve; the value in any unit, here percent of total starch.
struct CurvePoint {
    double timeMin = 0.0;
    double value = 0.0;
};

/// C(t) = Cinf(1 − e^(−kt))
/// C(t) = C0 + Cinf(1 − e^(−kt))
/// C(t) = Cinf1(1 − e^(−k1·t)) + Cinf2(1 − e^(−k2·t)), k1 > k2: two phases at once
enum class DigestModel { onePhase, onePhaseWithStart, twoPhases };

/// "one-phase", "one-phase-with-start", "two-phases".
std::string_view wordFor(DigestModel model);

struct FitParameter {
    std::string key;
    double estimate = 0.0;  ///< k per min, the others in the unit of the values
    std::optional<double> se;
    std::optional<double> ciLow;  ///< estimate ± t·SE
    std::optional<double> ciHigh;
};

struct FitOptions {
    double alpha = 0.05;              ///< of the intervals; 0 < alpha < 1
    std::optional<double> firstRate;  ///< k per min to begin from, one phase only; absent: a grid is searched

    /// What is wrong with them; empty: nothing.
    std::string validate() const;
};

/// A least squares fit. `absentBecause` empty: it may be used.
///
/// All readings count alike. Only the rates need a start, amplitudes being linear: the best of 61 rates from
/// 0.03 to 300 over the last time; of two phases the six best pairs of 25 with different fast rates, of whose
/// ends the one of smallest RSS counts. Levenberg–Marquardt (Eigen, after MINPACK) over amplitudes and ln k,
/// analytic derivatives, times and values brought near 1. Converged means: the search ended by its own
/// criteria and the residuals are orthogonal to the derivatives to 1e-6. Covariance s²(JᵀJ)⁻¹ at the optimum,
/// s² = RSS/(n − p), intervals by t with n − p degrees of freedom; they are approximate, as for every curve
/// that is not a line. Goodness is told by the residual SD: R² has no meaning for such curves. AICc =
/// n·ln(RSS/n) + 2K + 2K(K + 1)/(n − K − 1), K = p + 1 (Hurvich & Tsai 1989, Biometrika 76:297, from
/// memory); absent where n ≤ K + 1.
///
/// Absent with the reason: a point that is not finite or before 0; fewer than p + 1 points, or fewer than p
/// times after 0; values that do not change; a curve that falls; not converged; k at a bound (k·last time <
/// 0.02: a straight line, its plateau out of reach; k·first time > 20: all digested before the first
/// reading); two phases with an amplitude that is not above 0, or rates within a factor of 1.2; parameters
/// that the readings cannot tell apart. No residual beyond rounding: estimates without errors,
/// `errorsAbsentBecause` says so. Source of the curve: Goñi, García-Alonso & Saura-Calixto 1997, Nutr Res
/// 17:427 (from memory). Checked against NIST StRD Misra1a and BoxBOD and R's nls.
struct DigestionFit {
    DigestModel model = DigestModel::onePhase;
    std::size_t n = 0;
    double lastMin = 0.0;  ///< of the points; the curve is not to be read beyond
    std::vector<FitParameter> parameters;
    std::optional<double> rss;
    std::optional<double> residualSd;
    std::optional<double> df;
    std::optional<double> aicc;
    bool exact = false;  ///< no residual beyond rounding
    std::string absentBecause;
    std::string errorsAbsentBecause;

    bool usable() const { return absentBecause.empty(); }
    /// Estimate by key; nothing where the model has no such parameter, or the fit is not usable.
    std::optional<double> estimate(std::string_view key) const;
};

DigestionFit fitDigestion(std::span<const CurvePoint> points, DigestModel model,
                          const FitOptions& options = {});

/// C(t) of a usable fit.
double fittedValue(const DigestionFit& fit, double timeMin);

/// ∫C dt from 0 to a time, of a usable fit: for one phase Cinf·T − (Cinf/k)(1 − e^(−kT)). Unit: value × min.
double fittedArea(const DigestionFit& fit, double untilMin);

/// The models side by side, and the one to use.
struct FitChoice {
    std::vector<DigestionFit> candidates;  ///< one a model, in their order
    std::optional<std::size_t> chosen;     ///< position in `candidates`
    std::string why;
};

/// Of the usable fits the one of smallest AICc; an exact fit goes before all others, the simplest first.
/// Where n permits no AICc of any, the simplest usable one.
FitChoice chooseFit(std::span<const CurvePoint> points, const FitOptions& options = {});

}  // namespace aftercurve
