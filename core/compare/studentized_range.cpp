#include "core/compare/studentized_range.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <vector>

#include "core/compare/chi_scale.h"
#include "core/compare/distributions.h"
#include "core/compare/tail_quantile.h"

namespace aftercurve {

namespace {

constexpr std::size_t mostGroups = 100;
// Beyond, the part of a pair alone is the tail to more digits than a double has.
constexpr double onlyPairs = 36.0;

double lowerNormal(double z) {
    return 0.5 * std::erfc(-z / std::numbers::sqrt2);
}

/// 1 − W(w) for one number of groups, on a grid of z that every w shares.
class NormalRange {
  public:
    explicit NormalRange(std::size_t groups)
        : groups_(static_cast<double>(groups)),
          // Powers of Φ have a peak that is narrower the higher they are.
          step_(groups <= 10 ? 0.3 : 0.2) {
        const auto nodes = static_cast<std::size_t>((top - bottom) / step_);
        for (std::size_t i = 0; i <= nodes; ++i) {
            const double z = bottom + static_cast<double>(i) * step_;
            const double below = lowerNormal(z);
            z_.push_back(z);
            below_.push_back(below);
            const double density = std::exp(-0.5 * z * z) / std::sqrt(2.0 * std::numbers::pi);
            weight_.push_back(step_ * groups_ * density * std::pow(below, groups_ - 1.0));
        }
    }

    double upperTail(double w) const {
        if (w <= 0.0) {
            return 1.0;
        }
        if (w > onlyPairs) {
            return groups_ * (groups_ - 1.0) * lowerNormal(-w / std::numbers::sqrt2);
        }
        double sum = 0.0;
        double largest = 0.0;
        const double last = std::max(9.0, 0.5 * w + 6.5);
        for (auto i = static_cast<std::size_t>(std::min(last, top) / step_ - bottom / step_); i > 0; --i) {
            const double term = weight_[i] * outside(lowerNormal(z_[i] - w) / below_[i]);
            sum += term;
            largest = std::max(largest, term);
            if (term < 1e-18 * largest) {
                break;
            }
        }
        return std::min(sum, 1.0);
    }

  private:
    static constexpr double bottom = -12.0;
    static constexpr double top = 25.0;

    /// 1 − (1 − x)ᵏ⁻¹
    double outside(double x) const { return x >= 1.0 ? 1.0 : -std::expm1((groups_ - 1.0) * std::log1p(-x)); }

    double groups_;
    double step_;
    std::vector<double> z_, below_, weight_;
};

bool isRange(std::size_t groups, double df) {
    return groups >= 2 && groups <= mostGroups && df > 0.0;
}

template <typename Tail>
std::optional<double> tailOf(Tail& range, double q, std::size_t groups, double df) {
    if (std::isnan(q) || !isRange(groups, df)) {
        return std::nullopt;
    }
    if (q <= 0.0) {
        return 1.0;
    }
    const auto p = std::isinf(q) ? 0.0 : overChiScale(range, q, df, 0.25);
    if (!p) {
        return std::nullopt;
    }
    return std::clamp(*p, std::numeric_limits<double>::min(), 1.0);
}

}  // namespace

std::optional<double> studentizedRangeUpperTail(double q, std::size_t groups, double df) {
    const NormalRange range(std::clamp<std::size_t>(groups, 2, mostGroups));
    const auto direct = [&](double w) { return range.upperTail(w); };
    return tailOf(direct, q, groups, df);
}

std::optional<double> studentizedRangeUpperQuantile(double upperTail, std::size_t groups, double df) {
    return StudentizedRange(groups).upperQuantile(upperTail, df);
}

StudentizedRange::StudentizedRange(std::size_t groups)
    : groups_(groups),
      tail_([range = NormalRange(std::clamp<std::size_t>(groups, 2, mostGroups))](
                double w) { return range.upperTail(w); },
            {}) {}

std::optional<double> StudentizedRange::upperTail(double q, double df) {
    return tailOf(tail_, q, groups_, df);
}

std::optional<double> StudentizedRange::upperQuantile(double upperTail, double df) {
    if (!(upperTail > 0.0 && upperTail < 1.0) || !isRange(groups_, df)) {
        return std::nullopt;
    }
    // Between the quantile of one pair and that of all pairs by Bonferroni's inequality.
    const double pairs = 0.5 * static_cast<double>(groups_ * (groups_ - 1));
    const auto one = absTUpperQuantile(upperTail, df);
    const auto all = absTUpperQuantile(upperTail / pairs, df);
    if (!one || !all) {
        return std::nullopt;
    }
    return tailQuantile([&](double q) { return this->upperTail(q, df); }, upperTail,
                        *one * std::numbers::sqrt2, *all * std::numbers::sqrt2);
}

}  // namespace aftercurve
