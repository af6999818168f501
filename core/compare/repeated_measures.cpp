#include "core/compare/repeated_measures.h"

#include <Eigen/Cholesky>
#include <Eigen/Core>
#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "core/base/number_text.h"
#include "core/compare/distributions.h"
#include "core/compare/scaled.h"

namespace aftercurve {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

// As in pairedDifferences, for values scaled to a largest of about 1.
constexpr double resolution = 1e-11;
constexpr Index mostContrasts = 2000;

Index at(std::size_t i) {
    return static_cast<Index>(i);
}

/// Sum and number of the values of a subject, a food and a time.
struct Cell {
    double sum = 0.0;
    double values = 0.0;
};

using SubjectCells = std::map<std::pair<std::size_t, std::size_t>, Cell>;

/// Foods and times that have a value; times ascend.
void findUsed(const TimeCourseData& data, RepeatedMeasures& result) {
    for (const TimeCourseRow& row : data.rows) {
        result.foods.push_back(row.food);
        result.times.push_back(row.time);
    }
    for (std::vector<std::size_t>* used : {&result.foods, &result.times}) {
        std::sort(used->begin(), used->end());
        used->erase(std::unique(used->begin(), used->end()), used->end());
    }
    std::sort(result.times.begin(), result.times.end(),
              [&](std::size_t a, std::size_t b) { return data.timesMin[a] < data.timesMin[b]; });
}

std::string whyLeftOut(const TimeCourseData& data, const RepeatedMeasures& result,
                       const SubjectCells& cells) {
    std::string first;
    std::size_t missing = 0;
    for (const std::size_t food : result.foods) {
        for (const std::size_t time : result.times) {
            if (!cells.contains({food, time})) {
                if (missing++ == 0) {
                    first = "no value of " + data.foods[food] + " at " + plainNumber(data.timesMin[time]) +
                            " min";
                }
            }
        }
    }
    return missing < 2 ? first : first + ", and " + std::to_string(missing - 1) + " more missing";
}

/// Complete subjects × (food, time), food slowest; fills subjects, leftOut and notes.
MatrixXd completeValues(const TimeCourseData& data, const std::vector<double>& value,
                        RepeatedMeasures& result) {
    std::map<std::size_t, SubjectCells> bySubject;
    for (std::size_t i = 0; i < data.rows.size(); ++i) {
        const TimeCourseRow& row = data.rows[i];
        Cell& cell = bySubject[row.subject][{row.food, row.time}];
        cell.sum += value[i];
        cell.values += 1.0;
    }
    std::vector<const SubjectCells*> complete;
    bool repeated = false;
    for (const auto& [subject, cells] : bySubject) {
        std::string reason = whyLeftOut(data, result, cells);
        if (reason.empty()) {
            complete.push_back(&cells);
            repeated |=
                std::any_of(cells.begin(), cells.end(), [](const auto& c) { return c.second.values > 1.0; });
        } else {
            result.leftOut.push_back({subject, std::move(reason)});
        }
    }
    if (repeated) {
        result.notes.emplace_back("repeated visits of a subject with a food were averaged at each time");
    }
    result.subjects = complete.size();
    MatrixXd values(at(complete.size()), at(result.foods.size() * result.times.size()));
    for (std::size_t s = 0; s < complete.size(); ++s) {
        Index column = 0;
        for (const std::size_t food : result.foods) {
            for (const std::size_t time : result.times) {
                const Cell& cell = complete[s]->at({food, time});
                values(at(s), column++) = cell.sum / cell.values;
            }
        }
    }
    return values;
}

/// Orthonormal contrasts of neighbours (Helmert): levels × (levels − 1).
MatrixXd contrastsOf(std::size_t levels) {
    const Index n = at(levels);
    MatrixXd contrasts = MatrixXd::Zero(n, n - 1);
    for (Index c = 0; c + 1 < n; ++c) {
        const auto before = static_cast<double>(c + 1);
        contrasts.col(c).head(c + 1).setConstant(1.0);
        contrasts(c + 1, c) = -before;
        contrasts.col(c) /= std::sqrt(before * (before + 1.0));
    }
    return contrasts;
}

MatrixXd meanOf(std::size_t levels) {
    return MatrixXd::Constant(at(levels), 1, 1.0 / std::sqrt(static_cast<double>(levels)));
}

MatrixXd product(const MatrixXd& a, const MatrixXd& b) {
    MatrixXd result(a.rows() * b.rows(), a.cols() * b.cols());
    for (Index i = 0; i < a.rows(); ++i) {
        for (Index j = 0; j < a.cols(); ++j) {
            result.block(i * b.rows(), j * b.cols(), b.rows(), b.cols()) = a(i, j) * b;
        }
    }
    return result;
}

void addMauchly(const MatrixXd& s, double freedom, RepeatedMeasuresTerm& term) {
    const auto k = static_cast<double>(s.rows());
    if (s.rows() == 1) {
        term.mauchlyAbsentBecause = "one degree of freedom: sphericity holds by itself";
        return;
    }
    if (freedom < k) {
        term.mauchlyAbsentBecause = "fewer subjects than the contrasts need";
        return;
    }
    const Eigen::LLT<MatrixXd> cholesky(s / (s.trace() / k));
    if (cholesky.info() != Eigen::Success || cholesky.rcond() < 1e-13) {
        term.mauchlyAbsentBecause = "the contrasts hang together exactly";
        return;
    }
    const double logW = 2.0 * cholesky.matrixLLT().diagonal().array().log().sum();
    const double shrink = 1.0 - (2.0 * k * k + k + 2.0) / (6.0 * k * freedom);
    if (!(shrink > 0.0)) {
        term.mauchlyAbsentBecause = "too few subjects for its distribution";
        return;
    }
    term.mauchlyW = std::exp(logW);
    term.mauchlyDf = static_cast<std::size_t>(s.rows() * (s.rows() + 1) / 2 - 1);
    term.mauchlyChiSquare = std::max(0.0, -freedom * shrink * logW);
    const double weight = (k + 2.0) * (k - 1.0) * (k - 2.0) *
                          (2.0 * k * k * k + 6.0 * k * k + 3.0 * k + 2.0) /
                          (288.0 * (freedom * k * shrink) * (freedom * k * shrink));
    const auto first = chiSquareUpperTail(*term.mauchlyChiSquare, static_cast<double>(term.mauchlyDf));
    const auto second = chiSquareUpperTail(*term.mauchlyChiSquare, static_cast<double>(term.mauchlyDf) + 4.0);
    if (first && second) {
        term.mauchlyP =
            std::clamp(*first + weight * (*second - *first), std::numeric_limits<double>::min(), 1.0);
    }
}

void addCorrections(const MatrixXd& s, double n, RepeatedMeasuresTerm& term) {
    const auto k = static_cast<double>(s.rows());
    const auto errorDf = static_cast<double>(term.errorDf);
    const double greenhouse = s.rows() == 1 ? 1.0 : s.trace() * s.trace() / (k * s.squaredNorm());
    const auto corrected = [&](double epsilon) {
        const double used = std::min(epsilon, 1.0);
        return fUpperTail(*term.f, k * used, errorDf * used);
    };
    term.epsilonGreenhouseGeisser = greenhouse;
    term.pGreenhouseGeisser = corrected(greenhouse);
    const double divisor = k * (n - 1.0 - k * greenhouse);
    if (s.rows() == 1) {
        term.epsilonHuynhFeldt = 1.0;
    } else if (divisor > 1e-9 * k * n) {
        term.epsilonHuynhFeldt = (n * k * greenhouse - 2.0) / divisor;
    }
    if (term.epsilonHuynhFeldt && *term.epsilonHuynhFeldt > 0.0) {
        term.pHuynhFeldt = corrected(*term.epsilonHuynhFeldt);
    } else {
        term.epsilonHuynhFeldt.reset();
    }
}

RepeatedMeasuresTerm termOf(const std::string& name, const MatrixXd& values, const MatrixXd& contrasts,
                            int exponent) {
    RepeatedMeasuresTerm term;
    term.term = name;
    if (contrasts.cols() == 0) {
        term.absentBecause = "it has one level";
        return term;
    }
    if (contrasts.cols() > mostContrasts) {
        term.absentBecause = "too many foods and times for this table";
        return term;
    }
    const auto n = static_cast<double>(values.rows());
    const auto k = static_cast<double>(contrasts.cols());
    term.df = static_cast<std::size_t>(contrasts.cols());
    term.errorDf = term.df * static_cast<std::size_t>(values.rows() - 1);
    const MatrixXd z = values * contrasts;
    const Eigen::RowVectorXd mean = z.colwise().mean();
    const MatrixXd rest = z.rowwise() - mean;
    const double effect = n * mean.squaredNorm();
    const double error = rest.squaredNorm();
    if (!(std::sqrt(error / (k * (n - 1.0))) > resolution)) {
        term.absentBecause = "all subjects have the same differences: nothing to test against";
        return term;
    }
    term.sumOfSquares = scaledBack(effect, 2 * exponent);
    term.errorSumOfSquares = scaledBack(error, 2 * exponent);
    if (term.errorSumOfSquares && *term.errorSumOfSquares < std::numeric_limits<double>::min()) {
        term.sumOfSquares.reset();
        term.errorSumOfSquares.reset();
    }
    term.f = effect / (error / (n - 1.0));
    term.p = fUpperTail(*term.f, k, static_cast<double>(term.errorDf));
    const MatrixXd s = rest.transpose() * rest;
    addCorrections(s, n, term);
    addMauchly(s, n - 1.0, term);
    return term;
}

}  // namespace

RepeatedMeasures repeatedMeasures(const TimeCourseData& data) {
    RepeatedMeasures result;
    std::vector<double> value;
    value.reserve(data.rows.size());
    for (const TimeCourseRow& row : data.rows) {
        value.push_back(row.value);
    }
    const auto scaled = scaledNearOne(value);
    if (!scaled) {
        result.absentBecause = "a value is not a finite number";
        return result;
    }
    findUsed(data, result);
    const MatrixXd values = completeValues(data, scaled->value, result);
    if (result.subjects < 2) {
        result.absentBecause = data.rows.empty() ? "there is no value"
                               : result.subjects == 0
                                   ? "no subject has a value for every food at every time"
                                   : "one subject has a value for every food at every time: "
                                     "nothing to generalise from";
        return result;
    }
    const std::size_t foods = result.foods.size();
    const std::size_t times = result.times.size();
    result.terms = {
        termOf("food", values, product(contrastsOf(foods), meanOf(times)), scaled->exponent),
        termOf("time", values, product(meanOf(foods), contrastsOf(times)), scaled->exponent),
        termOf("food x time", values, product(contrastsOf(foods), contrastsOf(times)), scaled->exponent)};
    return result;
}

}  // namespace aftercurve
