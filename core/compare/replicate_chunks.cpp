#include "core/compare/replicate_chunks.h"

#include <algorithm>
#include <atomic>
#include <system_error>
#include <thread>
#include <vector>

namespace aftercurve {

bool forReplicateChunks(std::uint64_t total, std::uint64_t chunkSize, unsigned threads,
                        const Progress& progress, std::string_view stage,
                        const std::function<void(ReplicateChunk)>& work) {
    chunkSize = std::max<std::uint64_t>(1, chunkSize);
    std::atomic<std::uint64_t> next = 0;
    std::atomic<std::uint64_t> done = 0;
    std::atomic<bool> stopped = false;
    const auto runOne = [&] {
        // Taken under a bound, so that the counter cannot wrap around.
        std::uint64_t begin = next.load();
        do {
            if (stopped || begin >= total) {
                return false;
            }
        } while (!next.compare_exchange_weak(begin, begin + std::min(chunkSize, total - begin)));
        const ReplicateChunk chunk{begin, begin + std::min(chunkSize, total - begin)};
        work(chunk);
        done += chunk.end - chunk.begin;
        return true;
    };

    std::vector<std::thread> helpers;
    const std::uint64_t chunks = total / chunkSize + (total % chunkSize != 0 ? 1 : 0);
    for (unsigned i = 1; i < threads && i < chunks; ++i) {
        try {
            helpers.emplace_back([&] {
                while (runOne()) {
                }
            });
        } catch (const std::system_error&) {
            break;
        }
    }
    const auto share = [&] {
        return total == 0 ? 1.0 : static_cast<double>(done.load()) / static_cast<double>(total);
    };
    do {
        if (progress && !progress(share(), stage)) {
            stopped = true;
        }
    } while (runOne());
    for (std::thread& helper : helpers) {
        helper.join();
    }
    return !stopped;
}

}  // namespace aftercurve
