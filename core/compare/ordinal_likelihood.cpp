#include "core/compare/ordinal_likelihood.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace aftercurve {

namespace {

using Eigen::VectorXd;

constexpr double largestLogit = 300.0;

/// A cell at the parameters: e^(θ − β) of its bounds, and what does not hang on v.
struct CellValue {
    std::size_t group = 0;
    std::size_t category = 0;
    bool below = false;
    bool above = false;
    double lower = 0.0;
    double upper = 0.0;
    double gapLog = 0.0;    ///< log(1 − e^(b − a))
    double gapSlope = 0.0;  ///< its derivative by a
};

/// F and 1 − F of both bounds at w = e^(σv); F(a) = 1 and F(b) = 0 where a bound does not count.
struct Shares {
    double a = 1.0;
    double notA = 0.0;
    double b = 0.0;
    double notB = 1.0;
};

Shares sharesOf(const CellValue& cell, double w) {
    Shares f;
    if (cell.above) {
        const double sum = cell.upper + w;
        f.a = cell.upper / sum;
        f.notA = w / sum;
    }
    if (cell.below) {
        const double sum = cell.lower + w;
        f.b = cell.lower / sum;
        f.notB = w / sum;
    }
    return f;
}

/// Sums over a subject's scores of the derivatives of the log probability by η = β + σv.
struct Slopes {
    double first = 0.0;
    double second = 0.0;
    double third = 0.0;
};

void add(const Shares& f, Slopes& sum) {
    const double a = f.a * f.notA;
    const double b = f.b * f.notB;
    sum.first += f.b - f.notA;
    sum.second -= a + b;
    sum.third += a * (f.notA - f.a) + b * (f.notB - f.b);
}

Slopes slopesOf(const std::vector<CellValue>& cells, const OrdinalForm::Pattern& pattern, double w) {
    Slopes sum;
    for (const std::size_t c : pattern.cells) {
        add(sharesOf(cells[c], w), sum);
    }
    return sum;
}

/// Derivatives of log L by the thresholds, the groups and σ.
struct Natural {
    std::vector<double> thresholds;
    std::vector<double> groups;
    double sigma = 0.0;
};

/// Adds weight times the derivatives where that by a bound a is `byA`, by b `byB`.
void addBounds(const CellValue& cell, double byA, double byB, Natural& sum) {
    if (cell.above) {
        sum.thresholds[cell.category] += byA;
        sum.groups[cell.group] -= byA;
    }
    if (cell.below) {
        sum.thresholds[cell.category - 1] += byB;
        sum.groups[cell.group] -= byB;
    }
}

/// Where the integrand of a subject is largest: the root of σ·first(v) − v, which falls in v.
double modeOf(const std::vector<CellValue>& cells, const OrdinalForm::Pattern& pattern, double sigma) {
    const double far = std::abs(sigma) * static_cast<double>(pattern.cells.size()) + 1.0;
    double low = -far;
    double high = far;
    double v = 0.0;
    for (int i = 0; i < 200; ++i) {
        const Slopes s = slopesOf(cells, pattern, std::exp(sigma * v));
        const double slope = sigma * s.first - v;
        (slope > 0.0 ? low : high) = v;
        const double step = slope / (1.0 - sigma * sigma * s.second);
        if (std::abs(step) <= 1e-14 * (1.0 + std::abs(v))) {
            break;
        }
        const bool inside = v + step > low && v + step < high;
        v = inside ? v + step : 0.5 * (low + high);
    }
    return v;
}

/// log L of a subject and its derivatives, `weight` times.
class SubjectIntegral {
  public:
    SubjectIntegral(const std::vector<CellValue>& cells, const NormalQuadrature& quadrature, double sigma)
        : cells_(cells), quadrature_(quadrature), sigma_(sigma) {}

    std::optional<double> add(const OrdinalForm::Pattern& pattern, Natural& sum);

  private:
    void fillNodes(const OrdinalForm::Pattern& pattern);
    void addGradient(const OrdinalForm::Pattern& pattern, Natural& sum) const;

    const std::vector<CellValue>& cells_;
    const NormalQuadrature& quadrature_;
    double sigma_;
    double mode_ = 0.0;
    double curvature_ = 1.0;  ///< minus the second derivative of the log integrand by v, at the mode
    double scale_ = 1.0;
    std::vector<double> height_;  ///< by node: logarithm of its term
    std::vector<Shares> shares_;  ///< by node, then by the pattern's cells
};

void SubjectIntegral::fillNodes(const OrdinalForm::Pattern& pattern) {
    height_.clear();
    shares_.clear();
    for (std::size_t k = 0; k < quadrature_.node.size(); ++k) {
        const double z = quadrature_.node[k];
        const double v = mode_ + scale_ * z;
        const double w = std::exp(sigma_ * v);
        double height = std::log(quadrature_.weight[k]) + 0.5 * (z * z - v * v);
        double product = 1.0;
        for (const std::size_t c : pattern.cells) {
            const Shares f = sharesOf(cells_[c], w);
            product *= f.a * f.notB;
            if (product < 1e-100) {
                height += std::log(product);
                product = 1.0;
            }
            shares_.push_back(f);
        }
        height_.push_back(height + std::log(product));
    }
}

void SubjectIntegral::addGradient(const OrdinalForm::Pattern& pattern, Natural& sum) const {
    const double weight = pattern.subjects;
    const std::size_t size = pattern.cells.size();
    std::vector<double> meanNotA(size);
    std::vector<double> meanB(size);
    double bySigma = 0.0;
    double byMode = 0.0;
    double byScale = 0.0;  // times the scale: derivative by its logarithm, the 1 of log(scale) left out
    for (std::size_t k = 0; k < height_.size(); ++k) {
        const double share = height_[k];
        const double v = mode_ + scale_ * quadrature_.node[k];
        double first = 0.0;
        for (std::size_t i = 0; i < size; ++i) {
            const Shares& f = shares_[k * size + i];
            meanNotA[i] += share * f.notA;
            meanB[i] += share * f.b;
            first += f.b - f.notA;
        }
        bySigma += share * v * first;
        const double slope = sigma_ * first - v;
        byMode += share * slope;
        byScale += share * slope * quadrature_.node[k] * scale_;
    }
    // The mode moves with a parameter by (its second derivative with v)/curvature, and the scale with both.
    const double w = std::exp(sigma_ * mode_);
    const Slopes atMode = slopesOf(cells_, pattern, w);
    const double ofScale = 0.5 * (1.0 + byScale) / curvature_;
    const double ofMode = (byMode + ofScale * sigma_ * sigma_ * sigma_ * atMode.third) / curvature_;
    for (std::size_t i = 0; i < size; ++i) {
        const CellValue& cell = cells_[pattern.cells[i]];
        const Shares f = sharesOf(cell, w);
        const auto through = [&](double share, double rest) {
            const double density = share * rest;
            return sigma_ * density * (ofMode - ofScale * sigma_ * (rest - share));
        };
        addBounds(cell, weight * (meanNotA[i] + cell.gapSlope + through(f.a, f.notA)),
                  weight * (-meanB[i] - cell.gapSlope + through(f.b, f.notB)), sum);
    }
    const double mixed = atMode.first + sigma_ * mode_ * atMode.second;
    const double bend = 2.0 * sigma_ * atMode.second + sigma_ * sigma_ * mode_ * atMode.third;
    sum.sigma += weight * (bySigma + ofMode * mixed + ofScale * bend);
}

std::optional<double> SubjectIntegral::add(const OrdinalForm::Pattern& pattern, Natural& sum) {
    mode_ = sigma_ == 0.0 ? 0.0 : modeOf(cells_, pattern, sigma_);
    curvature_ = 1.0 - sigma_ * sigma_ * slopesOf(cells_, pattern, std::exp(sigma_ * mode_)).second;
    scale_ = 1.0 / std::sqrt(curvature_);
    fillNodes(pattern);
    const double top = *std::max_element(height_.begin(), height_.end());
    if (!std::isfinite(top)) {
        return std::nullopt;
    }
    double total = 0.0;
    for (double& height : height_) {
        height = std::exp(height - top);
        total += height;
    }
    for (double& height : height_) {
        height /= total;  // from here on the share of the node
    }
    double logL = std::log(scale_) + top + std::log(total);
    for (const std::size_t c : pattern.cells) {
        logL += cells_[c].gapLog;
    }
    addGradient(pattern, sum);
    return pattern.subjects * logL;
}

/// Nothing where a logit has run off or two thresholds fall together.
std::optional<std::vector<CellValue>> cellValues(const OrdinalForm& form, const VectorXd& x) {
    const std::vector<double> thresholds = thresholdsOf(form, x);
    std::vector<CellValue> cells;
    for (const OrdinalForm::Cell& cell : form.cells) {
        const Eigen::Index at = form.groupAt[cell.group];
        const double shift = at < 0 ? 0.0 : x[at];
        CellValue value{cell.group, cell.category, cell.below, cell.above};
        double a = 0.0;
        double b = 0.0;
        if (cell.above) {
            a = thresholds[cell.category] - shift;
            value.upper = std::exp(a);
        }
        if (cell.below) {
            b = thresholds[cell.category - 1] - shift;
            value.lower = std::exp(b);
        }
        if (!(std::max(std::abs(a), std::abs(b)) <= largestLogit)) {
            return std::nullopt;
        }
        if (cell.above && cell.below) {
            const double gap = std::exp(x[form.thresholdAt[cell.category]]);
            value.gapLog = std::log(-std::expm1(-gap));
            value.gapSlope = 1.0 / std::expm1(gap);
            if (!std::isfinite(value.gapLog) || !std::isfinite(value.gapSlope)) {
                return std::nullopt;
            }
        }
        cells.push_back(value);
    }
    return cells;
}

VectorXd asParameters(const OrdinalForm& form, const Natural& natural, const VectorXd& x) {
    VectorXd gradient = VectorXd::Zero(form.parameters);
    double after = 0.0;  // a distance moves all thresholds after it in its part
    for (std::size_t j = natural.thresholds.size(); j-- > 0;) {
        const Eigen::Index at = form.thresholdAt[j];
        if (at < 0) {
            after = 0.0;
            continue;
        }
        after += natural.thresholds[j];
        gradient[at] = form.chained[j] ? std::exp(x[at]) * after : after;
        if (!form.chained[j]) {
            after = 0.0;
        }
    }
    for (std::size_t g = 0; g < natural.groups.size(); ++g) {
        if (form.groupAt[g] >= 0) {
            gradient[form.groupAt[g]] = natural.groups[g];
        }
    }
    gradient[form.sigmaAt()] = natural.sigma;
    return gradient;
}

}  // namespace

std::vector<double> thresholdsOf(const OrdinalForm& form, const VectorXd& x) {
    std::vector<double> thresholds;
    for (std::size_t j = 0; j < form.thresholdAt.size(); ++j) {
        const Eigen::Index at = form.thresholdAt[j];
        thresholds.push_back(at < 0 ? 0.0 : form.chained[j] ? thresholds.back() + std::exp(x[at]) : x[at]);
    }
    return thresholds;
}

std::optional<Height> minusLogLikelihood(const OrdinalForm& form, const NormalQuadrature& quadrature,
                                         const VectorXd& x) {
    static const NormalQuadrature point{{0.0}, {1.0}};
    const double sigma = x[form.sigmaAt()];
    if (!(std::abs(sigma) <= largestOrdinalSd)) {
        return std::nullopt;
    }
    const auto cells = cellValues(form, x);
    if (!cells) {
        return std::nullopt;
    }
    Natural natural{std::vector<double>(form.thresholdAt.size()), std::vector<double>(form.groupAt.size()),
                    0.0};
    SubjectIntegral integral(*cells, sigma == 0.0 ? point : quadrature, sigma);
    double logL = 0.0;
    for (const OrdinalForm::Pattern& pattern : form.patterns) {
        const auto one = integral.add(pattern, natural);
        if (!one) {
            return std::nullopt;
        }
        logL += *one;
    }
    Height height{-logL, -asParameters(form, natural, x)};
    return std::isfinite(logL) && height.gradient.allFinite() ? std::optional{std::move(height)}
                                                              : std::nullopt;
}

double varianceSlopeAtZero(const OrdinalForm& form, const VectorXd& x) {
    const auto cells = cellValues(form, x);
    double slope = 0.0;
    for (std::size_t p = 0; cells && p < form.patterns.size(); ++p) {
        const Slopes s = slopesOf(*cells, form.patterns[p], 1.0);
        slope += 0.5 * form.patterns[p].subjects * (s.first * s.first + s.second);
    }
    return slope;
}

}  // namespace aftercurve
