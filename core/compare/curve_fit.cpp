#include "core/compare/curve_fit.h"

#include <Eigen/Cholesky>
#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>
#include <set>

#include "core/compare/smooth_minimum.h"

namespace aftercurve {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;
using Form = CovarianceForm;

constexpr std::size_t mostUnstructuredTimes = 20;
constexpr double widestRatio = 1e8;
constexpr double nearBoundary = 0.05;  // of the residual SD: worth a look at 0

Index at(std::size_t i) {
    return static_cast<Index>(i);
}

/// What the rows can tell apart.
struct Pattern {
    bool twoFoods = false;      ///< a subject with two foods
    bool twoCurves = false;     ///< a subject with two curves
    bool repeated = false;      ///< a subject with two curves of a food
    bool twoInCurve = false;    ///< a curve with two values
    bool twoInSubject = false;  ///< a subject with two values
    bool twoInFood = false;     ///< a subject with two values of a food
    std::set<double> distances;
    Eigen::MatrixXi together;  ///< curves with both times
};

Pattern patternOf(const CurveDesign& design) {
    Pattern p;
    const Index times = at(design.times.size());
    p.together = Eigen::MatrixXi::Zero(times, times);
    for (const CurveBlock& block : design.blocks) {
        p.twoFoods |= block.food.back() > 0;
        p.twoCurves |= block.curve.back() > 0;
        p.twoInSubject |= block.rows() > 1;
        for (std::size_t i = 0; i < block.cell.size(); ++i) {
            for (std::size_t j = i; j < block.cell.size() && block.food[j] == block.food[i]; ++j) {
                const bool same = block.curve[i] == block.curve[j];
                p.repeated |= !same;
                p.twoInFood |= j > i;
                p.twoInCurve |= same && j > i;
                if (same) {
                    p.together(block.time[j], block.time[i]) += static_cast<int>(block.subjects());
                }
                if (same && j > i) {
                    p.distances.insert(design.timesMin[static_cast<std::size_t>(block.time[j])] -
                                       design.timesMin[static_cast<std::size_t>(block.time[i])]);
                }
            }
        }
    }
    return p;
}

/// One distance, but for rounding.
bool oneDistance(const Pattern& p) {
    return p.distances.empty() ||
           *p.distances.rbegin() - *p.distances.begin() <= 1e-9 * *p.distances.rbegin();
}

std::string whyNoFit(const CurveDesign& design, const Pattern& p, CurveCovariance covariance) {
    if (covariance == CurveCovariance::continuousTimeAr1 && !p.twoInCurve) {
        return "no curve has two values: there is no correlation within curves to estimate";
    }
    if (covariance != CurveCovariance::unstructured) {
        return {};
    }
    if (design.times.size() > mostUnstructuredTimes) {
        return "more than 20 times: too many for an unstructured covariance";
    }
    if (design.curves < design.foods.size() + design.times.size()) {
        return "an unstructured covariance of " + std::to_string(design.times.size()) +
               " times needs at least " + std::to_string(design.foods.size() + design.times.size()) +
               " curves; there are " + std::to_string(design.curves);
    }
    for (Index a = 0; a < p.together.rows(); ++a) {
        for (Index b = 0; b <= a; ++b) {
            if (p.together(a, b) == 0) {
                return "no curve has values at both of two times: their covariance cannot be estimated";
            }
        }
    }
    return {};
}

void chooseParts(const Pattern& p, CurveFit& fit) {
    Form& form = fit.form;
    const auto note = [&](const std::string& text) { fit.notes.push_back(text); };
    if (form.covariance == CurveCovariance::unstructured) {
        form.has[Form::subject] = p.twoCurves;
        form.has[Form::subjectFood] = p.twoFoods && p.repeated;
        if (!form.has[Form::subjectFood]) {
            note("subject x food left out: the unstructured covariance within a curve holds it");
        } else {
            note("curve left out: the unstructured covariance within a curve holds it");
        }
        if (!form.has[Form::subject]) {
            note("subject left out: each subject has one curve, whose unstructured covariance holds it");
        }
        return;
    }
    form.has[Form::subject] = p.twoInSubject;
    form.has[Form::subjectFood] = p.twoFoods && p.twoInFood;
    form.has[Form::curve] = p.repeated && p.twoInCurve;
    if (!p.twoInSubject) {
        note("subject and subject x food left out: no subject has two values");
    } else if (!p.twoFoods) {
        note("subject x food left out: no subject has two foods, subject holds it");
    } else if (!p.twoInFood) {
        note("subject x food left out: no subject has two values of a food");
    }
    if (form.has[Form::curve]) {
        note("curve is in the model: a food was given to a subject at more than one visit");
    }
    form.hasRho = form.covariance == CurveCovariance::continuousTimeAr1;
    if (form.hasRho && oneDistance(p)) {
        const Form::Part innermost = form.has[Form::curve]         ? Form::curve
                                     : form.has[Form::subjectFood] ? Form::subjectFood
                                                                   : Form::subject;
        form.has[innermost] = false;
        note(std::string(innermost == Form::curve         ? "curve"
                         : innermost == Form::subjectFood ? "subject x food"
                                                          : "subject") +
             " left out: all pairs of times in a curve are equally far apart, and rho holds it");
    }
}

void setDistances(const CurveDesign& design, Form& form) {
    const Index times = at(design.timesMin.size());
    form.distance = MatrixXd::Zero(times, times);
    double least = 0.0;
    for (Index i = 0; i + 1 < times; ++i) {
        const double gap =
            design.timesMin[static_cast<std::size_t>(i) + 1] - design.timesMin[static_cast<std::size_t>(i)];
        least = i == 0 ? gap : std::min(least, gap);
    }
    for (Index i = 0; i < times; ++i) {
        for (Index j = 0; j < i; ++j) {
            const double gap =
                design.timesMin[static_cast<std::size_t>(i)] - design.timesMin[static_cast<std::size_t>(j)];
            // So far apart nothing is shared; 1e6 keeps the powers finite.
            form.distance(i, j) = form.distance(j, i) = std::min(gap / least, 1e6);
        }
    }
}

/// Means of products of residuals: by pair of times within curves, and between the curves of a subject.
struct Moments {
    MatrixXd within;
    double withinCurve = 0.0;  ///< different times
    double betweenCurves = 0.0;
};

Moments momentsOf(const CurveDesign& design, const Pattern& p) {
    const Index times = at(design.times.size());
    Moments m;
    m.within = MatrixXd::Zero(times, times);
    double inCurve = 0.0;
    double between = 0.0;
    double inCurvePairs = 0.0;
    double betweenPairs = 0.0;
    for (const CurveBlock& block : design.blocks) {
        const MatrixXd products = block.value * block.value.transpose();
        const auto n = static_cast<double>(block.subjects());
        for (std::size_t i = 0; i < block.cell.size(); ++i) {
            for (std::size_t j = i; j < block.cell.size(); ++j) {
                const double x = products(at(j), at(i));
                const bool same = block.curve[i] == block.curve[j];
                if (same) {
                    m.within(block.time[j], block.time[i]) += x;
                }
                if (i != j) {
                    (same ? inCurve : between) += x;
                    (same ? inCurvePairs : betweenPairs) += n;
                }
            }
        }
    }
    for (Index a = 0; a < times; ++a) {
        for (Index b = 0; b <= a; ++b) {
            m.within(a, b) /= std::max(1, p.together(a, b));
            m.within(b, a) = m.within(a, b);
        }
    }
    m.withinCurve = inCurve / std::max(1.0, inCurvePairs);
    m.betweenCurves = between / std::max(1.0, betweenPairs);
    return m;
}

double sdOf(double variance) {
    return std::sqrt(std::clamp(variance, 0.03, 0.9));
}

void setStart(const Moments& m, Form& form) {
    MatrixXd covariance = m.within;
    if (form.has[Form::subject]) {
        covariance.array() -= std::clamp(m.betweenCurves, 0.0, 0.5);
    }
    const Eigen::SelfAdjointEigenSolver<MatrixXd> eigen(covariance);
    const double floor = 0.02 * m.within.diagonal().mean();
    const MatrixXd definite = eigen.eigenvectors() * eigen.eigenvalues().cwiseMax(floor).asDiagonal() *
                              eigen.eigenvectors().transpose();
    form.start = definite.llt().matrixL();
}

std::vector<VectorXd> startsOf(const Form& form, const Moments& m) {
    const auto startAt = [&](double subject, double inner, double rest, double h) {
        VectorXd x = VectorXd::Zero(form.size());
        const bool both = form.has[Form::subjectFood] && form.has[Form::curve];
        for (const Form::Part part : {Form::subject, Form::subjectFood, Form::curve}) {
            if (form.has[part]) {
                x[form.coordinateOf(part)] = sdOf(part == Form::subject ? subject
                                                  : both                ? inner / 2.0
                                                                        : inner);
            }
        }
        if (form.covariance != CurveCovariance::unstructured) {
            x[form.hasRho ? x.size() - 2 : x.size() - 1] = std::log(sdOf(rest));
        }
        if (form.hasRho) {
            x[form.rhoCoordinate()] = h;
        }
        return x;
    };
    const double inner = m.withinCurve - m.betweenCurves;
    const double rest = 1.0 - m.withinCurve;
    std::vector<VectorXd> starts{startAt(m.betweenCurves, inner, rest, 0.5)};
    if (form.covariance != CurveCovariance::unstructured) {
        starts.push_back(startAt(0.2, 0.2, 0.5, 0.8));
    }
    if (form.hasRho) {
        starts.push_back(startAt(m.betweenCurves, 0.05, rest + inner, 1.5));
    }
    return starts;
}

VectorXd curvatureOf(const CurveDesign& design, const Form& form) {
    const auto curves = static_cast<double>(design.curves);
    VectorXd result = VectorXd::Constant(form.size(), 2.0 * curves);
    if (form.covariance != CurveCovariance::unstructured) {
        result[form.hasRho ? result.size() - 2 : result.size() - 1] = 4.0 * static_cast<double>(design.rows);
    }
    return result;
}

/// The function to minimise, with a count of its calls and the ear for a stop.
class CountedHeight {
  public:
    CountedHeight(const CurveDesign& design, const Form& form, const Progress& progress)
        : design_(design), form_(form), progress_(progress) {}

    std::optional<Height> operator()(const VectorXd& x) {
        ++calls_;
        // No end is known before the last step: ever nearer to 1.
        const double done = static_cast<double>(calls_) / (static_cast<double>(calls_) + 60.0);
        stopped_ = stopped_ || (progress_ && !progress_(done, "model of the time course"));
        if (stopped_ || !x.allFinite()) {
            return std::nullopt;
        }
        const auto reml = curveReml(design_, piecesOf(form_, x));
        if (!reml) {
            return std::nullopt;
        }
        return Height{reml->minusTwoLogL, byCoordinates(form_, x, reml->gradient)};
    }

    bool stopped() const { return stopped_; }

  private:
    const CurveDesign& design_;
    const Form& form_;
    const Progress& progress_;
    int calls_ = 0;
    bool stopped_ = false;
};

std::vector<Index> allBut(Index size, const std::vector<Index>& out) {
    std::vector<Index> result;
    for (Index k = 0; k < size; ++k) {
        if (std::find(out.begin(), out.end(), k) == out.end()) {
            result.push_back(k);
        }
    }
    return result;
}

/// Tries 0 for what is near it; at 0 stays what would raise −2 log L beyond it. Fills `active`.
Minimum settled(const CurveDesign& design, const HeightAt& height, Minimum m, const VectorXd& curvature,
                CurveFit& fit) {
    fit.active = allBut(fit.form.size(), {});
    std::vector<Index> released;
    for (int round = 0; round < 6; ++round) {
        std::vector<Index> zero;
        VectorXd x = m.at;
        for (const Index k : fit.form.evenCoordinates()) {
            if (std::abs(x[k]) < nearBoundary &&
                std::find(released.begin(), released.end(), k) == released.end()) {
                zero.push_back(k);
                x[k] = 0.0;
            }
        }
        const std::vector<Index> active = allBut(fit.form.size(), zero);
        const Minimum at0 = descended(height, x, active, curvature);
        const auto reml = at0.found ? curveReml(design, piecesOf(fit.form, at0.at)) : std::nullopt;
        if (!reml) {
            return m;
        }
        const std::size_t before = released.size();
        for (const Index k : zero) {
            if (beyondBoundary(fit.form, at0.at, reml->gradient, k) < 0.0) {
                released.push_back(k);
            }
        }
        if (released.size() == before) {
            fit.active = active;
            return at0;
        }
        VectorXd again = at0.at;
        for (const Index k : released) {
            again[k] = again[k] == 0.0 ? 0.5 * nearBoundary : again[k];
        }
        m = descended(height, again, allBut(fit.form.size(), {}), curvature);
    }
    return m;
}

std::string whyNotUsable(const CurveFit& fit) {
    if (fit.form.hasRho && rhoOf(fit.form, fit.at) > 1.0 - 1e-6) {
        return "not converged: the correlation within curves runs to 1; another covariance may fit";
    }
    const CovariancePieces pieces = piecesOf(fit.form, fit.at);
    const Eigen::SelfAdjointEigenSolver<MatrixXd> eigen(pieces.within, Eigen::EigenvaluesOnly);
    const double largest =
        std::max({eigen.eigenvalues().maxCoeff(), pieces.subject, pieces.subjectFood, pieces.curve});
    if (!(eigen.eigenvalues().minCoeff() * widestRatio > largest)) {
        return "no variance is left within curves: foods, times and curves reproduce every value, or the "
               "variances lie more than 1e8 apart";
    }
    return {};
}

}  // namespace

CurveFit curveFit(const CurveDesign& design, CurveCovariance covariance, const Progress& progress) {
    CurveFit fit;
    fit.form.covariance = covariance;
    const Pattern pattern = patternOf(design);
    fit.failed = whyNoFit(design, pattern, covariance);
    if (!fit.failed.empty()) {
        return fit;
    }
    chooseParts(pattern, fit);
    setDistances(design, fit.form);
    const Moments moments = momentsOf(design, pattern);
    setStart(moments, fit.form);
    CountedHeight counted(design, fit.form, progress);
    const HeightAt height = [&](const VectorXd& x) { return counted(x); };
    const VectorXd curvature = curvatureOf(design, fit.form);
    Minimum best;
    for (const VectorXd& start : startsOf(fit.form, moments)) {
        const Minimum m = descended(height, start, allBut(fit.form.size(), {}), curvature);
        if (m.found && (!best.found || m.height.value < best.height.value)) {
            best = m;
        }
    }
    if (best.found) {
        best = settled(design, height, best, curvature, fit);
        fit.at = best.at;
        fit.failed = whyNotUsable(fit);
    }
    if (best.found && fit.failed.empty()) {
        best = polished(height, best, fit.active, [&](Index k, double x) {
            const std::vector<Index> even = fit.form.evenCoordinates();
            return std::find(even.begin(), even.end(), k) == even.end() ? 1e-4 : 1e-4 * std::abs(x);
        });
        fit.at = best.at;
        fit.failed = whyNotUsable(fit);
    }
    fit.converged = best.found && fit.failed.empty() && best.curved && best.decrement < 1e-9;
    auto reml = fit.converged ? curveReml(design, piecesOf(fit.form, fit.at)) : std::nullopt;
    if (counted.stopped()) {
        fit.failed = "stopped";
        fit.converged = false;
        return fit;
    }
    if (!reml) {
        fit.converged = false;
        if (fit.failed.empty()) {
            fit.failed = best.found && !best.curved
                             ? "not converged: the data hold too little information about the variances"
                             : "not converged: no minimum of -2 log L was reached";
        }
        return fit;
    }
    fit.reml = std::move(*reml);
    fit.parameterCovariance =
        2.0 * best.hessian.llt().solve(MatrixXd::Identity(best.hessian.rows(), best.hessian.cols()));
    for (const Index k : fit.form.evenCoordinates()) {
        if (std::find(fit.active.begin(), fit.active.end(), k) == fit.active.end()) {
            fit.boundary.push_back(fit.form.nameOf(k));
        }
    }
    return fit;
}

}  // namespace aftercurve
