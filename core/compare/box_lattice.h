#pragma once

#include <Eigen/Core>
#include <cstddef>
#include <vector>

namespace aftercurve {

/// g(w) = P(max|Zᵢ| ≥ w) of a multivariate normal by a lattice rule, up to `shifts` estimates of it.
/// g = Σᵢ 2·P(Zᵢ ≥ w, |Zⱼ| < w for all j < i), so that small tails keep their digits; each term by separation
/// of variables (Genz 1992, J Comput Graph Stat 1:141, from memory) over a Korobov lattice, periodised by
/// folding, with shifts of a fixed seed: the same numbers on every machine. Internal to core/compare.
class BoxLattice {
  public:
    static constexpr std::size_t shifts = 8;

    /// A correlation matrix. `singular` is then true where it is not positive definite.
    explicit BoxLattice(const Eigen::MatrixXd& correlation);

    bool singular() const { return singular_; }

    /// One estimate a shift. `size` counts from 0 to `sizes` − 1, each with some four times the points of the
    /// one before.
    std::vector<double> tails(double w, std::size_t size) const;

    static std::size_t sizes();

  private:
    std::vector<Eigen::MatrixXd> factors_;  ///< Cholesky of variables (i, 0, …, i − 1)
    bool singular_ = false;
};

}  // namespace aftercurve
