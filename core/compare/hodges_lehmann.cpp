#include "core/compare/hodges_lehmann.h"

#include <algorithm>
#include <bit>
#include <cassert>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <limits>
#include <numeric>
#include <span>
#include <vector>

#include "core/compare/distributions.h"
#include "core/compare/scaled.h"
#include "core/compare/sign_patterns.h"

namespace aftercurve {

namespace {

// Doubles in ascending order have keys in ascending order.
constexpr std::uint64_t signBit = std::uint64_t{1} << 63;

std::uint64_t keyOf(double x) {
    const auto bits = std::bit_cast<std::uint64_t>(x);
    return (bits & signBit) != 0 ? ~bits : bits | signBit;
}

double fromKey(std::uint64_t key) {
    return std::bit_cast<double>((key & signBit) != 0 ? key & ~signBit : ~key);
}

/// The Walsh averages (d_i + d_j)/2, i ≤ j, of sorted differences, which are never all written out: a rounded
/// sum is monotone in both terms, so those up to a bound are counted in one sweep, and the k-th smallest is
/// found by halving the ordered doubles. Exact; time 64·n, no extra memory.
class WalshAverages {
  public:
    explicit WalshAverages(std::vector<double> difference) : sorted_(std::move(difference)) {
        std::sort(sorted_.begin(), sorted_.end());
        const double largest = std::max(std::abs(sorted_.front()), std::abs(sorted_.back()));
        sumOverflows_ = largest > std::numeric_limits<double>::max() / 2.0;
    }

    std::uint64_t size() const { return sorted_.size() * (sorted_.size() + 1) / 2; }

    /// k from 1 to size().
    double kthSmallest(std::uint64_t k) const {
        assert(k >= 1 && k <= size());
        std::uint64_t low = keyOf(sorted_.front());
        std::uint64_t high = keyOf(sorted_.back());
        while (low < high) {
            const std::uint64_t middle = low + (high - low) / 2;
            if (countUpTo(fromKey(middle)) >= k) {
                high = middle;
            } else {
                low = middle + 1;
            }
        }
        return fromKey(low) + 0.0;  // −0 becomes 0
    }

    double middle() const {
        const double lower = kthSmallest((size() + 1) / 2);
        return size() % 2 == 1 ? lower : std::midpoint(lower, kthSmallest(size() / 2 + 1));
    }

  private:
    double average(std::size_t i, std::size_t j) const {
        return sumOverflows_ ? sorted_[i] * 0.5 + sorted_[j] * 0.5 : (sorted_[i] + sorted_[j]) * 0.5;
    }

    std::uint64_t countUpTo(double bound) const {
        std::uint64_t count = 0;
        std::size_t end = sorted_.size();
        for (std::size_t i = 0; i < end; ++i) {
            while (end > i && average(i, end - 1) > bound) {
                --end;
            }
            count += end - i;
        }
        return count;
    }

    std::vector<double> sorted_;
    bool sumOverflows_ = false;
};

/// Which order statistics make the interval: the `count`-th smallest and the `count`-th largest.
struct Ends {
    std::uint64_t count = 0;  ///< 0: even the widest interval does not reach the confidence
    double confidence = 0.0;
};

Ends exactEnds(std::size_t n, double alpha) {
    std::vector<std::size_t> rank(n);
    std::iota(rank.begin(), rank.end(), std::size_t{1});
    const std::vector<double> patterns = signPatternCounts(rank);
    Ends ends;
    double atMost = 0.0;
    for (std::uint64_t c = 1; c <= patterns.size(); ++c) {
        atMost += patterns[c - 1];
        const double bothTails = 2.0 * std::ldexp(atMost, -static_cast<int>(n));
        if (bothTails > alpha) {
            break;
        }
        ends = {c, 1.0 - bothTails};
    }
    return ends;
}

Ends normalEnds(std::size_t n, double alpha) {
    const auto size = static_cast<double>(n);
    const double centre = size * (size + 1.0) / 4.0;
    const double sigma = std::sqrt(size * (size + 1.0) * (2.0 * size + 1.0) / 24.0);
    const auto z = normalUpperQuantile(alpha / 2.0);
    if (!z) {
        return {};
    }
    const double c = std::floor(centre + 0.5 - *z * sigma);
    const auto tail = normalUpperTail((centre + 0.5 - c) / sigma);
    if (c < 1.0 || !tail) {
        return {};
    }
    return {static_cast<std::uint64_t>(c), 1.0 - 2.0 * *tail};
}

std::string tooFew(std::size_t n, double alpha) {
    char text[120];
    std::snprintf(text, sizeof text, "%zu difference%s cannot give an interval of %.6g %% confidence", n,
                  n == 1 ? "" : "s", 100.0 * (1.0 - alpha));
    return text;
}

}  // namespace

HodgesLehmann hodgesLehmann(const Differences& differences, double alpha) {
    assert(alpha > 0.0 && alpha < 1.0);
    HodgesLehmann result;
    const std::size_t n = differences.value.size();
    if (n == 0) {
        result.absentBecause = "there is no pair";
        return result;
    }
    if (!allFinite(differences.value)) {
        result.absentBecause = "a difference is not a finite number";
        return result;
    }
    const WalshAverages averages(differences.value);
    result.estimate = averages.middle();

    const bool exact = n <= mostCountedSigns;
    const Ends ends = exact ? exactEnds(n, alpha) : normalEnds(n, alpha);
    if (ends.count == 0) {
        result.absentBecause = tooFew(n, alpha);
        return result;
    }
    result.method = exact ? "exact" : "normal";
    result.ciLow = averages.kthSmallest(ends.count);
    result.ciHigh = averages.kthSmallest(averages.size() + 1 - ends.count);
    result.achievedConfidence = ends.confidence;
    return result;
}

}  // namespace aftercurve
