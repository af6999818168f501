#include "core/files/large_pages.h"

#include <sys/mman.h>
#include <unistd.h>

#include <memory>

namespace aftercurve {

void preferLargePages([[maybe_unused]] void* data, [[maybe_unused]] std::size_t bytes) {
#if defined(MADV_HUGEPAGE)
    constexpr std::size_t worthwhile = std::size_t{8} << 20;
    const long page = ::sysconf(_SC_PAGESIZE);
    if (bytes < worthwhile || page <= 0) {
        return;
    }
    void* begin = data;
    std::size_t space = bytes;
    if (std::align(static_cast<std::size_t>(page), worthwhile / 2, begin, space) != nullptr) {
        ::madvise(begin, space - space % static_cast<std::size_t>(page), MADV_HUGEPAGE);
    }
#endif
}

}  // namespace aftercurve
