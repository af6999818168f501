#include "core/compare/many_to_one.h"

#include <Eigen/Cholesky>
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <vector>

#include "core/compare/box_lattice.h"
#include "core/compare/chi_scale.h"
#include "core/compare/distributions.h"
#include "core/compare/product_correlation.h"
#include "core/compare/tail_quantile.h"

namespace aftercurve {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr Index mostVariables = 30;
constexpr double sameCorrelation = 1.0 - 1e-12;
constexpr double symmetryTolerance = 1e-9;
constexpr double productError = 1e-9;
constexpr double aim = 5e-6;
constexpr double largestError = 1e-3;
constexpr double standardErrors = 3.5;
// Where the error of the lattice is looked at: tails from 0.5 to 1e-7.
constexpr std::array<double, 4> trialTails{1.0, 2.0, 3.5, 5.5};

/// Empty where the matrix is one.
std::string whyNoCorrelation(const MatrixXd& m) {
    if (m.rows() == 0 || m.rows() != m.cols() || !m.allFinite()) {
        return "the correlations are not a square matrix of finite numbers";
    }
    if (m.rows() > mostVariables) {
        return "more than 30 comparisons at once";
    }
    if ((m - m.transpose()).cwiseAbs().maxCoeff() > symmetryTolerance ||
        (m.diagonal().array() - 1.0).abs().maxCoeff() > symmetryTolerance ||
        m.cwiseAbs().maxCoeff() > 1.0 + symmetryTolerance) {
        return "the correlations are not symmetric with ones on the diagonal";
    }
    const MatrixXd eased = m + 1e-9 * static_cast<double>(m.rows()) * MatrixXd::Identity(m.rows(), m.cols());
    if (eased.llt().info() != Eigen::Success) {
        return "the correlations contradict each other";
    }
    return {};
}

/// Without variables that equal an earlier one but for the sign.
MatrixXd withoutCopies(const MatrixXd& m) {
    std::vector<Index> kept;
    for (Index i = 0; i < m.rows(); ++i) {
        if (std::none_of(kept.begin(), kept.end(),
                         [&](Index k) { return std::abs(m(i, k)) >= sameCorrelation; })) {
            kept.push_back(i);
        }
    }
    const auto size = static_cast<Index>(kept.size());
    MatrixXd result(size, size);
    for (Index i = 0; i < size; ++i) {
        for (Index j = 0; j < size; ++j) {
            result(i, j) = m(kept[static_cast<std::size_t>(i)], kept[static_cast<std::size_t>(j)]);
        }
    }
    return result;
}

struct MeanAndError {
    double mean = 0.0;
    double error = 0.0;
};

/// The tail of `wanted` as that of a product form plus the difference by the lattice.
class CorrectedTail {
  public:
    CorrectedTail(const MatrixXd& correlation, VectorXd l)
        : l_(std::move(l)), wanted_(correlation), near_(productMatrix(l_)) {}

    bool singular() const { return wanted_.singular(); }

    /// The smallest lattice that holds the aim, or the largest; returns the relative error.
    double chooseSize() {
        double worst = 0.0;
        for (size_ = 0; size_ < BoxLattice::sizes(); ++size_) {
            worst = 0.0;
            for (const double w : trialTails) {
                const MeanAndError correction = correctionAt(w);
                const double tail = productFormTail(l_, w).value_or(0.0) + correction.mean;
                worst = std::max(worst, tail > 0.0 ? correction.error / tail : 1.0);
            }
            if (worst <= aim) {
                return worst;
            }
        }
        size_ = BoxLattice::sizes() - 1;
        return worst;
    }

    double operator()(double w) const {
        const double near = productFormTail(l_, w).value_or(std::numeric_limits<double>::quiet_NaN());
        return near + correctionAt(w).mean;
    }

  private:
    static MatrixXd productMatrix(const VectorXd& l) {
        MatrixXd m = l * l.transpose();
        m.diagonal().setOnes();
        return m;
    }

    MeanAndError correctionAt(double w) const {
        const std::vector<double> wanted = wanted_.tails(w, size_);
        const std::vector<double> near = near_.tails(w, size_);
        const auto n = static_cast<double>(wanted.size());
        MeanAndError result;
        for (std::size_t s = 0; s < wanted.size(); ++s) {
            result.mean += (wanted[s] - near[s]) / n;
        }
        double squares = 0.0;
        for (std::size_t s = 0; s < wanted.size(); ++s) {
            const double gap = wanted[s] - near[s] - result.mean;
            squares += gap * gap;
        }
        result.error = standardErrors * std::sqrt(squares / (n - 1.0) / n);
        return result;
    }

    VectorXd l_;
    BoxLattice wanted_;
    BoxLattice near_;
    std::size_t size_ = 0;
};

double noTail(double) {
    return std::numeric_limits<double>::quiet_NaN();
}

}  // namespace

std::string_view labelOf(MaxAbsTMethod method) {
    switch (method) {
        case MaxAbsTMethod::studentT:
            return "one t";
        case MaxAbsTMethod::productForm:
            return "double integral";
        case MaxAbsTMethod::lattice:
            return "lattice rule";
    }
    return {};
}

ManyToOne::ManyToOne(const MatrixXd& correlation) : tail_(noTail, {}) {
    absentBecause_ = whyNoCorrelation(correlation);
    if (!absentBecause_.empty()) {
        return;
    }
    const MatrixXd m = withoutCopies(correlation);
    variables_ = static_cast<std::size_t>(m.rows());
    if (variables_ == 1) {
        return;
    }
    if (const auto l = productForm(m)) {
        method_ = MaxAbsTMethod::productForm;
        relativeError_ = productError;
        tail_ = TabledTail(
            [l = *l](double w) {
                return productFormTail(l, w).value_or(std::numeric_limits<double>::quiet_NaN());
            },
            {.tolerance = 3e-10});
        return;
    }
    method_ = MaxAbsTMethod::lattice;
    CorrectedTail corrected(m, nearestProductForm(m));
    if (corrected.singular()) {
        absentBecause_ = "one comparison follows from the others, and no exact integral is known for that";
        return;
    }
    relativeError_ = corrected.chooseSize() + productError;
    if (!(relativeError_ <= largestError)) {
        absentBecause_ = "the probability was not reached to three digits";
        return;
    }
    // The lattice has about six digits: fewer points of w hold them, and none are spent on a check.
    tail_ = TabledTail(std::move(corrected), {.width = 1.5, .degree = 9, .tolerance = 1.0});
}

std::optional<double> ManyToOne::tailAt(double t, double df) {
    if (method_ == MaxAbsTMethod::studentT) {
        return df >= infiniteDf ? absTUpperTail(t, std::numeric_limits<double>::infinity())
                                : absTUpperTail(t, df);
    }
    const auto p = overChiScale(tail_, t, df, 0.5);
    if (!p) {
        return std::nullopt;
    }
    return std::clamp(*p, std::numeric_limits<double>::min(), 1.0);
}

MaxAbsT ManyToOne::answer(std::optional<double> value) const {
    MaxAbsT result{value, method_, relativeError_, {}};
    if (!value) {
        result.absentBecause = "the probability could not be computed";
    }
    return result;
}

MaxAbsT ManyToOne::upperTail(double t, double df) {
    if (!absentBecause_.empty() || std::isnan(t) || !(df > 0.0)) {
        return {std::nullopt, method_, relativeError_,
                absentBecause_.empty() ? "t or its degrees of freedom are not a number" : absentBecause_};
    }
    if (t <= 0.0) {
        return answer(1.0);
    }
    return answer(std::isinf(t) ? std::numeric_limits<double>::min() : tailAt(t, df));
}

MaxAbsT ManyToOne::upperQuantile(double upperTail, double df) {
    if (!absentBecause_.empty() || !(upperTail > 0.0 && upperTail < 1.0) || !(df > 0.0)) {
        return {
            std::nullopt, method_, relativeError_,
            absentBecause_.empty() ? "the level or the degrees of freedom are out of range" : absentBecause_};
    }
    const auto one = absTUpperQuantile(upperTail, df);
    if (method_ == MaxAbsTMethod::studentT) {
        return answer(one);
    }
    // Between the quantile of one and that of all by Bonferroni's inequality.
    const auto all = absTUpperQuantile(upperTail / static_cast<double>(variables_), df);
    if (!one || !all) {
        return answer(std::nullopt);
    }
    return answer(tailQuantile([&](double t) { return tailAt(t, df); }, upperTail, *one, *all));
}

MaxAbsT maxAbsTUpperTail(double t, const MatrixXd& correlation, double df) {
    return ManyToOne(correlation).upperTail(t, df);
}

MaxAbsT maxAbsTUpperQuantile(double upperTail, const MatrixXd& correlation, double df) {
    return ManyToOne(correlation).upperQuantile(upperTail, df);
}

}  // namespace aftercurve
