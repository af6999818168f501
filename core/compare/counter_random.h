#pragma once

#include <array>
#include <cstddef>
#include <cstdint>

namespace aftercurve {

using PhiloxBlock = std::array<std::uint32_t, 4>;
using PhiloxKey = std::array<std::uint32_t, 2>;

/// Philox4x32 with 10 rounds: 128 random bits that are a function of counter and key alone, so that the
/// numbers of one replicate do not depend on who drew those of another. Source: Salmon, Moraes, Dror & Shaw
/// 2011, Parallel random numbers: as easy as 1, 2, 3 (SC11).
PhiloxBlock philox4x32(PhiloxBlock counter, PhiloxKey key);

/// What the numbers are for: two methods with one seed do not share them.
enum class RandomPurpose : std::uint32_t {
    signFlips = 1,
    resamples = 2,
    latticeShifts = 3,
    schedule = 16,
    sealedCodes = 17
};

/// The random numbers of one replicate, in order: key = seed (low, high word), counter = block within the
/// replicate, purpose, replicate (low, high word). Same seed, purpose and replicate: same numbers, on every
/// machine and whatever the threads.
class ReplicateRandom {
  public:
    ReplicateRandom(std::uint64_t seed, RandomPurpose purpose, std::uint64_t replicate);

    std::uint32_t next();

    /// Uniform over 0 … bound − 1, without bias: the high word of next()·bound, drawn again where the low
    /// word is below 2³² mod bound. bound > 0. Source: Lemire 2019, ACM Trans Model Comput Simul 29:3.
    std::uint32_t below(std::uint32_t bound);

  private:
    PhiloxKey key_;
    PhiloxBlock counter_;
    PhiloxBlock block_{};
    std::size_t used_ = 4;
};

}  // namespace aftercurve
