// libFuzzer target: any bytes as study.json leave a study that keeps its invariants, or problems that say
// why.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "tests/fuzz/fuzz_checks.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view bytes{reinterpret_cast<const char*>(data), size};
    if (!aftercurve::test::readsAsStudyJson(bytes)) {
        std::abort();
    }
    return 0;
}
