// libFuzzer target: any bytes as a workbook, or as its XML parts, are visited row by row, or refused with a
// problem.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "tests/fuzz/intake_checks.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view bytes{reinterpret_cast<const char*>(data), size};
    if (!aftercurve::test::visitsAsWorkbook(bytes)) {
        std::abort();
    }
    return 0;
}
