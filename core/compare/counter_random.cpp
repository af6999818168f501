#include "core/compare/counter_random.h"

#include <cassert>
#include <cstddef>

namespace aftercurve {

namespace {

constexpr int rounds = 10;
constexpr std::uint64_t multiplier0 = 0xD2511F53;
constexpr std::uint64_t multiplier1 = 0xCD9E8D57;
constexpr std::uint32_t weyl0 = 0x9E3779B9;
constexpr std::uint32_t weyl1 = 0xBB67AE85;

std::uint32_t low(std::uint64_t x) {
    return static_cast<std::uint32_t>(x & 0xFFFFFFFFU);
}

std::uint32_t high(std::uint64_t x) {
    return static_cast<std::uint32_t>(x >> 32U);
}

}  // namespace

PhiloxBlock philox4x32(PhiloxBlock counter, PhiloxKey key) {
    for (int round = 0; round < rounds; ++round) {
        const std::uint64_t product0 = multiplier0 * counter[0];
        const std::uint64_t product1 = multiplier1 * counter[2];
        counter = {high(product1) ^ counter[1] ^ key[0], low(product1), high(product0) ^ counter[3] ^ key[1],
                   low(product0)};
        key = {key[0] + weyl0, key[1] + weyl1};
    }
    return counter;
}

ReplicateRandom::ReplicateRandom(std::uint64_t seed, RandomPurpose purpose, std::uint64_t replicate)
    : key_{low(seed), high(seed)},
      counter_{0, static_cast<std::uint32_t>(purpose), low(replicate), high(replicate)} {}

std::uint32_t ReplicateRandom::next() {
    if (used_ == block_.size()) {
        block_ = philox4x32(counter_, key_);
        ++counter_[0];
        used_ = 0;
    }
    return block_[used_++];
}

std::uint32_t ReplicateRandom::below(std::uint32_t bound) {
    assert(bound > 0);
    const std::uint32_t rejected = (0U - bound) % bound;  // 2³² mod bound
    for (;;) {
        const std::uint64_t product = std::uint64_t{next()} * bound;
        if (low(product) >= rejected) {
            return high(product);
        }
    }
}

}  // namespace aftercurve
