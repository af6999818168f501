#include "core/compare/one_way.h"

#include <Eigen/Cholesky>
#include <Eigen/QR>
#include <algorithm>
#include <cassert>
#include <cmath>
#include <map>

#include "core/compare/distributions.h"
#include "core/compare/many_to_one.h"
#include "core/compare/scaled.h"
#include "core/compare/studentized_range.h"

namespace aftercurve {

namespace {

using Index = Eigen::Index;

constexpr double dependent = 1e-9;          ///< a pivot below this share of the largest is 0
constexpr double roundingShare = 1e-24;     ///< of Σ(x − mean)²
constexpr double roundingOfValues = 1e-28;  ///< of Σx²

/// Numbers the values that occur from 0 on, in ascending order.
template <class Of>
std::map<std::size_t, Index> numbered(std::span<const OneWayRow> rows, Of of) {
    std::map<std::size_t, Index> places;
    for (const OneWayRow& row : rows) {
        places.emplace(of(row), 0);
    }
    Index next = 0;
    for (auto& [level, place] : places) {
        place = next++;
    }
    return places;
}

struct Fit {
    Eigen::VectorXd coefficients;
    Eigen::MatrixXd covariance;  ///< (XᵀX)⁻¹
    double rss = 0.0;
    bool fullRank = false;
};

Fit fitted(const Eigen::MatrixXd& design, const Eigen::VectorXd& y) {
    Eigen::ColPivHouseholderQR<Eigen::MatrixXd> qr(design);
    qr.setThreshold(dependent);
    Fit fit;
    fit.fullRank = qr.rank() == design.cols();
    fit.coefficients = qr.solve(y);
    fit.rss = (y - design * fit.coefficients).squaredNorm();
    if (fit.fullRank) {
        fit.covariance = (design.transpose() * design)
                             .ldlt()
                             .solve(Eigen::MatrixXd::Identity(design.cols(), design.cols()));
    }
    return fit;
}

class OneWayWork {
  public:
    OneWayWork(std::span<const OneWayRow> rows, const OneWayOptions& options)
        : rows_(rows),
          options_(options),
          groups_(numbered(rows, [](const OneWayRow& row) { return row.group; })),
          blocks_(numbered(rows, [](const OneWayRow& row) { return row.block; })) {
        result_.n = rows.size();
        result_.groups = groups_.size();
        result_.blocks = blocks_.size();
    }

    OneWay result() {
        std::vector<double> values;
        for (const OneWayRow& row : rows_) {
            values.push_back(row.value);
        }
        const auto scaled = scaledNearOne(values);
        if (!scaled) {
            result_.absentBecause = "a value is not a finite number";
            return result_;
        }
        listDifferences();
        const std::size_t columns = groups_.size() + blocks_.size() - 1;
        if (groups_.size() < 2) {
            return absent(groups_.empty() ? "there is no value" : "there is one group only");
        }
        if (rows_.size() <= columns) {
            return absent("there are " + std::to_string(rows_.size()) + " values for " +
                          std::to_string(columns) + " means: nothing is left to judge scatter by");
        }
        if (options_.family == OneWayFamily::dunnett && result_.differences.empty()) {
            return absent("the control has no value");
        }
        compute(*scaled);
        return result_;
    }

  private:
    OneWay absent(const std::string& reason) {
        result_.absentBecause = reason;
        for (OneWayDifference& difference : result_.differences) {
            difference.absentBecause = reason;
        }
        return result_;
    }

    void listDifferences() {
        std::vector<std::size_t> levels;
        for (const auto& [level, place] : groups_) {
            levels.push_back(level);
        }
        const auto add = [this](std::size_t group, std::size_t minus) {
            OneWayDifference difference;
            difference.group = group;
            difference.minus = minus;
            result_.differences.push_back(std::move(difference));
        };
        if (options_.family == OneWayFamily::dunnett) {
            if (!options_.control || !groups_.contains(*options_.control)) {
                return;
            }
            for (const std::size_t level : levels) {
                if (level != *options_.control) {
                    add(level, *options_.control);
                }
            }
            return;
        }
        for (std::size_t i = 0; i < levels.size(); ++i) {
            for (std::size_t j = i + 1; j < levels.size(); ++j) {
                add(levels[j], levels[i]);
            }
        }
    }

    /// Columns: intercept, blocks but the first, and then, where asked, groups but the first.
    Eigen::MatrixXd designWith(bool groups) const {
        const auto blocks = static_cast<Index>(blocks_.size());
        const Index columns = blocks + (groups ? static_cast<Index>(groups_.size()) - 1 : 0);
        Eigen::MatrixXd design = Eigen::MatrixXd::Zero(static_cast<Index>(rows_.size()), columns);
        design.col(0).setOnes();
        for (std::size_t i = 0; i < rows_.size(); ++i) {
            const auto row = static_cast<Index>(i);
            const Index block = blocks_.at(rows_[i].block);
            const Index group = groups_.at(rows_[i].group);
            if (block > 0) {
                design(row, block) = 1.0;
            }
            if (groups && group > 0) {
                design(row, blocks + group - 1) = 1.0;
            }
        }
        return design;
    }

    void compute(const Scaled& scaled) {
        Eigen::VectorXd y =
            Eigen::Map<const Eigen::VectorXd>(scaled.value.data(), static_cast<Index>(scaled.value.size()));
        const double size = y.squaredNorm();
        y.array() -= y.mean();
        const Fit full = fitted(designWith(true), y);
        if (!full.fullRank) {
            absent("groups and runs cannot be told apart: no run joins them");
            return;
        }
        const double df = static_cast<double>(rows_.size() + 1 - groups_.size() - blocks_.size());
        const double between = fitted(designWith(false), y).rss - full.rss;
        result_.numeratorDf = static_cast<double>(groups_.size() - 1);
        result_.denominatorDf = df;
        const bool none = full.rss <= std::max(roundingShare * y.squaredNorm(), roundingOfValues * size);
        const double variance = none ? 0.0 : full.rss / df;
        result_.residualSd = scaledBack(std::sqrt(variance), scaled.exponent);
        estimate(full, scaled.exponent);
        if (none) {
            absent(
                "the values of each group agree but for what the runs explain: there is no scatter to judge "
                "by");
            return;
        }
        result_.f = std::max(0.0, between) / *result_.numeratorDf / variance;
        result_.p = fUpperTail(*result_.f, *result_.numeratorDf, df);
        judge(full, variance, df, scaled.exponent);
    }

    Eigen::VectorXd contrastOf(const OneWayDifference& difference) const {
        const auto blocks = static_cast<Index>(blocks_.size());
        Eigen::VectorXd contrast = Eigen::VectorXd::Zero(blocks + static_cast<Index>(groups_.size()) - 1);
        const Index group = groups_.at(difference.group);
        const Index minus = groups_.at(difference.minus);
        if (group > 0) {
            contrast(blocks + group - 1) += 1.0;
        }
        if (minus > 0) {
            contrast(blocks + minus - 1) -= 1.0;
        }
        return contrast;
    }

    void estimate(const Fit& fit, int exponent) {
        for (OneWayDifference& difference : result_.differences) {
            difference.estimate = scaledBack(contrastOf(difference).dot(fit.coefficients), exponent);
        }
    }

    void judge(const Fit& fit, double variance, double df, int exponent) {
        const auto count = static_cast<Index>(result_.differences.size());
        Eigen::MatrixXd contrasts(fit.coefficients.size(), count);
        for (Index i = 0; i < count; ++i) {
            contrasts.col(i) = contrastOf(result_.differences[static_cast<std::size_t>(i)]);
        }
        const Eigen::MatrixXd covariance = contrasts.transpose() * fit.covariance * contrasts;
        const Eigen::VectorXd spread = covariance.diagonal().cwiseSqrt();
        StudentizedRange range(groups_.size());
        std::optional<ManyToOne> many;
        if (options_.family == OneWayFamily::dunnett) {
            Eigen::MatrixXd correlation =
                spread.cwiseInverse().asDiagonal() * covariance * spread.cwiseInverse().asDiagonal();
            correlation.diagonal().setOnes();
            many.emplace(correlation);
        }
        const auto quantile = quantileOf(range, many, df);
        for (Index i = 0; i < count; ++i) {
            OneWayDifference& difference = result_.differences[static_cast<std::size_t>(i)];
            const double estimate = contrasts.col(i).dot(fit.coefficients);
            const double se = spread(i) * std::sqrt(variance);
            difference.se = scaledBack(se, exponent);
            difference.t = estimate / se;
            difference.p = studentTTwoSidedP(*difference.t, df);
            adjust(difference, range, many, df);
            if (quantile) {
                difference.ciLow = scaledBack(estimate - *quantile * se, exponent);
                difference.ciHigh = scaledBack(estimate + *quantile * se, exponent);
            } else if (difference.absentBecause.empty()) {
                difference.absentBecause = "the quantile of the simultaneous interval could not be found";
            }
        }
    }

    void adjust(OneWayDifference& difference, StudentizedRange& range, std::optional<ManyToOne>& many,
                double df) const {
        if (options_.family == OneWayFamily::none) {
            difference.pAdjusted = difference.p;
        } else if (options_.family == OneWayFamily::tukey) {
            difference.pAdjusted = range.upperTail(std::sqrt(2.0) * std::abs(*difference.t), df);
        } else {
            MaxAbsT tail = many->upperTail(std::abs(*difference.t), df);
            difference.pAdjusted = tail.value;
            difference.absentBecause = std::move(tail.absentBecause);
        }
        // Of one pair the family is the pair itself; rounding must not turn the order around.
        if (difference.pAdjusted && difference.p) {
            difference.pAdjusted = std::max(*difference.pAdjusted, *difference.p);
        }
    }

    std::optional<double> quantileOf(StudentizedRange& range, std::optional<ManyToOne>& many,
                                     double df) const {
        if (options_.family == OneWayFamily::none) {
            return absTUpperQuantile(options_.alpha, df);
        }
        if (options_.family == OneWayFamily::dunnett) {
            return many->upperQuantile(options_.alpha, df).value;
        }
        const auto q = range.upperQuantile(options_.alpha, df);
        return q ? std::optional{*q / std::sqrt(2.0)} : std::nullopt;
    }

    std::span<const OneWayRow> rows_;
    const OneWayOptions& options_;
    std::map<std::size_t, Index> groups_;
    std::map<std::size_t, Index> blocks_;
    OneWay result_;
};

}  // namespace

OneWay oneWay(std::span<const OneWayRow> rows, const OneWayOptions& options) {
    assert(options.alpha > 0.0 && options.alpha < 1.0);
    return OneWayWork{rows, options}.result();
}

}  // namespace aftercurve
