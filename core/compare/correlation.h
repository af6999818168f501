#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>

namespace aftercurve {

/// Pearson's r of n pairs: Sxy/√(Sxx·Syy). p: two-sided, t = r·√((n − 2)/(1 − r²)), df n − 2, hypothesis: no
/// linear relation; it assumes that the points are independent and near a bivariate normal. Interval:
/// Fisher's z, tanh(atanh r ± z(1 − alpha/2)/√(n − 3)), from n = 4. n < 3, a value that is not finite, all x
/// or all y equal (within 1e-12 of the largest |value|): absent. |r| = 1: r stands, p and interval do not. n
/// = 3: no interval. Source: Fisher 1921, Metron 1:3.
struct PearsonCorrelation {
    std::size_t n = 0;
    std::optional<double> r;
    std::optional<double> ciLow;
    std::optional<double> ciHigh;
    std::optional<double> p;
    std::string absentBecause;  ///< of r
    std::string pAbsentBecause;
    std::string intervalAbsentBecause;
};

/// Same lengths; 0 < alpha < 1.
PearsonCorrelation pearsonCorrelation(std::span<const double> x, std::span<const double> y, double alpha);

/// Spearman's rho: Pearson's r of the ranks, ties get mid-ranks. p up to n = 9: exact, the share of all n!
/// orders of y, given the ranks that occurred (ties included), with a |rho| at least as large. Beyond: t =
/// rho·√((n − 2)/(1 − rho²)), df n − 2; where |rho| = 1 there, p is absent. No interval: none is exact for
/// few pairs. n < 3, not finite, all ranks of one side tied: absent. Source: Spearman 1904, Am J Psychol
/// 15:72; Kendall & Gibbons 1990, Rank Correlation Methods, 5th ed. (permutation distribution, from memory).
struct SpearmanCorrelation {
    std::size_t n = 0;
    std::optional<double> rho;
    std::optional<double> p;
    bool ties = false;
    std::string method;  ///< "exact" or "t"; empty where there is no p
    std::string absentBecause;
    std::string pAbsentBecause;
};

SpearmanCorrelation spearmanCorrelation(std::span<const double> x, std::span<const double> y);

/// Largest n for which all orders are counted.
inline constexpr std::size_t mostCountedOrders = 9;

}  // namespace aftercurve
