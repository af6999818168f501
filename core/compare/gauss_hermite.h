#pragma once

#include <cstddef>
#include <vector>

namespace aftercurve {

/// Gauss–Hermite quadrature against the standard normal density: ∫ f(z) φ(z) dz ≈ Σ weightₖ · f(nodeₖ), exact
/// where f is a polynomial of degree 2n − 1 or less. Nodes ascend and are symmetric about 0; weights sum
/// to 1. Nodes: eigenvalues of the tridiagonal matrix of the recurrence (Golub & Welsch 1969, Math Comp
/// 23:221, from memory), sharpened by Newton steps. Weights: the Christoffel numbers 1/Σ pⱼ(nodeₖ)² of the
/// orthonormal polynomials p₀ … pₙ₋₁, which stay precise where a weight is far below the precision of an
/// eigenvector.
struct NormalQuadrature {
    std::vector<double> node;
    std::vector<double> weight;
};

/// 1 ≤ points ≤ 63.
NormalQuadrature normalQuadrature(std::size_t points);

}  // namespace aftercurve
