#include "core/compare/block_ranks.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <numeric>
#include <utility>

namespace aftercurve {

namespace {

constexpr unsigned bitsPerSum = 10;
constexpr std::uint64_t mostSteps = 20'000'000;  // bounds the memory too
constexpr std::int64_t largestSum = (1 << bitsPerSum) - 1;

using Sums = std::array<std::int64_t, mostCountedFoods>;

std::uint64_t packed(const Sums& sums, std::size_t foods) {
    std::uint64_t key = 0;
    for (std::size_t j = 0; j < foods; ++j) {
        key = key << bitsPerSum | static_cast<std::uint64_t>(sums[j]);
    }
    return key;
}

Sums unpacked(std::uint64_t key, std::size_t foods) {
    Sums sums{};
    for (std::size_t j = foods; j-- > 0;) {
        sums[j] = static_cast<std::int64_t>(key & static_cast<std::uint64_t>(largestSum));
        key >>= bitsPerSum;
    }
    return sums;
}

/// By insertion: there are at most six.
Sums sortedSum(const Sums& a, const Sums& b, std::size_t foods) {
    Sums sorted{};
    for (std::size_t j = 0; j < foods && j < sorted.size(); ++j) {
        const std::int64_t sum = a[j] + b[j];
        std::size_t place = j;
        for (; place > 0 && sorted[place - 1] > sum; --place) {
            sorted[place] = sorted[place - 1];
        }
        sorted[place] = sum;
    }
    return sorted;
}

/// Probabilities by packed sums, in the order in which the sums first came up: the same on every machine.
class States {
  public:
    explicit States(std::size_t most) : slot_(std::bit_ceil(2 * most + 2), 0) {}

    void add(std::uint64_t key, double probability) {
        std::size_t at = static_cast<std::size_t>(key * 0x9E3779B97F4A7C15U >> 20U) & (slot_.size() - 1);
        while (slot_[at] != 0 && entries_[slot_[at] - 1].first != key) {
            at = (at + 1) & (slot_.size() - 1);
        }
        if (slot_[at] == 0) {
            entries_.emplace_back(key, 0.0);
            slot_[at] = static_cast<std::uint32_t>(entries_.size());
        }
        entries_[slot_[at] - 1].second += probability;
    }

    const std::vector<std::pair<std::uint64_t, double>>& entries() const { return entries_; }

  private:
    std::vector<std::pair<std::uint64_t, double>> entries_;
    std::vector<std::uint32_t> slot_;  ///< 1 + the place in entries_; 0: free
};

/// Every distinct order of the ranks of one block; each is equally likely.
std::vector<Sums> ordersOf(std::span<const std::int64_t> rank) {
    std::vector<std::int64_t> sorted(rank.begin(), rank.end());
    std::sort(sorted.begin(), sorted.end());
    std::vector<Sums> orders;
    do {
        Sums one{};
        std::copy(sorted.begin(), sorted.end(), one.begin());
        orders.push_back(one);
    } while (std::next_permutation(sorted.begin(), sorted.end()));
    return orders;
}

/// Work for all blocks, from what the first `done` took: sums come in about done^(foods − 1) kinds, so that
/// work which cannot be finished is not begun.
double foreseen(std::uint64_t used, std::size_t done, std::size_t blocks, std::size_t foods) {
    double work = static_cast<double>(used);
    for (std::size_t j = 1; j < foods; ++j) {
        work *= static_cast<double>(blocks) / static_cast<double>(done);
    }
    return work;
}

/// Σ(2R_j − b(k + 1))², a whole number.
std::int64_t spread(std::span<const std::int64_t> doubledSum, std::int64_t blocks) {
    const std::int64_t centre = blocks * (static_cast<std::int64_t>(doubledSum.size()) + 1);
    return std::accumulate(
        doubledSum.begin(), doubledSum.end(), std::int64_t{0},
        [&](std::int64_t total, std::int64_t sum) { return total + (sum - centre) * (sum - centre); });
}

}  // namespace

BlockRanks blockRanks(std::span<const double> value, std::size_t foods, double relativeResolution) {
    BlockRanks ranks;
    ranks.foods = foods;
    ranks.doubledSum.assign(foods, 0);
    ranks.doubledRank.resize(value.size());
    std::vector<std::size_t> order(foods);
    for (std::size_t row = 0; foods > 0 && row + foods <= value.size(); row += foods) {
        const auto at = [&](std::size_t position) { return value[row + order[position]]; };
        double largest = 0.0;
        for (std::size_t j = 0; j < foods; ++j) {
            largest = std::max(largest, std::abs(value[row + j]));
        }
        const double resolution = relativeResolution * largest;
        std::iota(order.begin(), order.end(), std::size_t{0});
        std::sort(order.begin(), order.end(),
                  [&](std::size_t a, std::size_t b) { return value[row + a] < value[row + b]; });
        for (std::size_t begin = 0; begin < foods;) {
            std::size_t end = begin + 1;
            while (end < foods && at(end) - at(end - 1) <= resolution) {
                ++end;
            }
            const auto doubled = static_cast<std::int64_t>(begin + 1 + end);
            ranks.ties = ranks.ties || end - begin > 1;
            for (std::size_t position = begin; position < end; ++position) {
                ranks.doubledRank[row + order[position]] = doubled;
                ranks.doubledSum[order[position]] += doubled;
            }
            begin = end;
        }
    }
    return ranks;
}

std::optional<double> exactRankSumP(const BlockRanks& ranks, std::uint64_t steps) {
    const std::size_t k = ranks.foods;
    const std::size_t b = ranks.blocks();
    if (k < 2 || k > mostCountedFoods || b == 0 || b > static_cast<std::size_t>(largestSum) / (2 * k)) {
        return std::nullopt;
    }
    // The order of the columns does not enter Σ(R_j − mean)²: states are sorted sums, and the first block
    // stays.
    std::vector<std::pair<std::uint64_t, double>> states;
    std::uint64_t used = 0;
    for (std::size_t block = 0; block < b; ++block) {
        const auto orders = ordersOf(std::span(ranks.doubledRank).subspan(block * k, k));
        if (block == 0) {
            states.emplace_back(packed(orders.front(), k), 1.0);
            continue;
        }
        const std::uint64_t work = states.size() * orders.size();
        used += work;
        if (foreseen(used, block + 1, b, k) > static_cast<double>(std::min(steps, mostSteps))) {
            return std::nullopt;
        }
        const double share = 1.0 / static_cast<double>(orders.size());
        States next(static_cast<std::size_t>(work));
        for (const auto& [key, probability] : states) {
            const Sums sums = unpacked(key, k);
            for (const Sums& order : orders) {
                next.add(packed(sortedSum(sums, order, k), k), probability * share);
            }
        }
        states = next.entries();
    }
    const auto blocks = static_cast<std::int64_t>(b);
    const std::int64_t observed = spread(ranks.doubledSum, blocks);
    double p = 0.0;
    for (const auto& [key, probability] : states) {
        const Sums sums = unpacked(key, k);
        p += spread(std::span(sums).first(k), blocks) >= observed ? probability : 0.0;
    }
    return std::min(1.0, p);
}

}  // namespace aftercurve
