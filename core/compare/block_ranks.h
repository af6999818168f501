#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

namespace aftercurve {

/// Ranks within blocks, doubled so that mid-ranks are whole numbers. Internal to core/compare.
struct BlockRanks {
    std::size_t foods = 0;
    std::vector<std::int64_t> doubledRank;  ///< row by row
    std::vector<std::int64_t> doubledSum;   ///< by column
    bool ties = false;

    std::size_t blocks() const { return foods == 0 ? 0 : doubledRank.size() / foods; }
};

/// `value` row by row, all finite. Neighbours in order that lie no further apart than `relativeResolution`
/// times the largest |value| of their row are tied.
BlockRanks blockRanks(std::span<const double> value, std::size_t foods, double relativeResolution);

/// Largest number of columns for which all orders are counted.
inline constexpr std::size_t mostCountedFoods = 6;

/// Probability that Σ(R_j − mean)² is at least the one observed when every order within each block is equally
/// likely, given the ranks. Nothing where there are more columns than are counted, more blocks than sums can
/// be kept for, or more than `steps` additions are foreseen.
std::optional<double> exactRankSumP(const BlockRanks& ranks, std::uint64_t steps);

}  // namespace aftercurve
