#pragma once

#include <cstdint>
#include <functional>
#include <string_view>

#include "core/base/progress.h"

namespace aftercurve {

/// Replicates begin … end − 1, the chunk-th part of all.
struct ReplicateChunk {
    std::uint64_t begin = 0;
    std::uint64_t end = 0;
};

/// Runs `work` on replicates 0 … total − 1 in chunks, on up to `threads` threads (0 counts as 1), the calling
/// one among them. `progress`, which may be empty, is asked on the calling thread alone, between its chunks.
/// False where it answered false: then some chunks have not run. `work` may run on several threads at once
/// and must write only what belongs to its replicates, so that neither the number of threads nor the size of
/// a chunk enters the result. A thread that cannot be started is done without.
bool forReplicateChunks(std::uint64_t total, std::uint64_t chunkSize, unsigned threads,
                        const Progress& progress, std::string_view stage,
                        const std::function<void(ReplicateChunk)>& work);

}  // namespace aftercurve
