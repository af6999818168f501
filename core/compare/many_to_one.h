#pragma once

#include <Eigen/Core>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

#include "core/compare/tabled_tail.h"

namespace aftercurve {

/// How a tail of max|Tᵢ| was found.
enum class MaxAbsTMethod { studentT, productForm, lattice };

/// "one t", "double integral" or "lattice rule", for a note.
std::string_view labelOf(MaxAbsTMethod method);

struct MaxAbsT {
    std::optional<double> value;
    MaxAbsTMethod method = MaxAbsTMethod::studentT;
    double relativeError = 0.0;  ///< bound on that of the tail
    std::string absentBecause;
};

/// P(max|Tᵢ| ≥ t) where T has the multivariate t distribution of the correlation matrix given and df degrees
/// of freedom: what comparisons of several foods with one comparator need (Dunnett 1955, J Am Stat Assoc
/// 50:1096), also where their correlations differ. Several t and df of one correlation share the work.
///
/// With s = √(χ²/df) it is E g(t·s), g the same for the normal, over s as in the studentized range. g:
/// - one variable, or several that are the same but for a sign (|ρ| ≥ 1 − 1e-12): Student's t;
/// - ρᵢⱼ = lᵢlⱼ to 1e-10, |lᵢ| < 1 (always so for two, nearly always for three; for any number in a design
///   where every food has the same part in the comparisons): ∫φ(z){1 − Πᵢ[1 − Φ((−w + lᵢz)/rᵢ) −
///   Φ((−w − lᵢz)/rᵢ)]}dz, rᵢ = √(1 − lᵢ²); relative error 1e-9 or less;
/// - otherwise the product form next to it, corrected by the difference of both by a lattice rule
///   (box_lattice.h) with points of a fixed seed: the same result each time. The bound is 3.5 standard errors
///   from eight shifts of the lattice (t on 7 df, 99 %), at the w where it is largest; points are added until
///   it is 5e-6, and it may be more where they do not suffice. The bound stands in the result.
/// Relative accuracy holds in the tail. Absent with the reason: not a correlation matrix (or not finite);
/// more than 30 variables; t that is not a number; df ≤ 0; a singular matrix that is not of product form; an
/// error above 1e-3. t ≤ 0 has p = 1. A p below the smallest normal double is given as that.
class ManyToOne {
  public:
    explicit ManyToOne(const Eigen::MatrixXd& correlation);

    MaxAbsT upperTail(double t, double df);

    /// The t with P(max|Tᵢ| ≥ t) = upperTail; 0 < upperTail < 1.
    MaxAbsT upperQuantile(double upperTail, double df);

  private:
    std::optional<double> tailAt(double t, double df);
    MaxAbsT answer(std::optional<double> value) const;

    MaxAbsTMethod method_ = MaxAbsTMethod::studentT;
    std::size_t variables_ = 1;
    double relativeError_ = 0.0;
    std::string absentBecause_;
    TabledTail tail_;
};

MaxAbsT maxAbsTUpperTail(double t, const Eigen::MatrixXd& correlation, double df);
MaxAbsT maxAbsTUpperQuantile(double upperTail, const Eigen::MatrixXd& correlation, double df);

}  // namespace aftercurve
