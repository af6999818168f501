#include "core/base/number_text.h"

#include <array>
#include <charconv>

namespace aftercurve {

std::string plainNumber(double value) {
    std::array<char, 32> buffer{};
    const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value).ptr;
    return {buffer.data(), end};
}

std::string confidencePercent(double alpha) {
    std::array<char, 32> buffer{};
    const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), 100.0 * (1.0 - alpha),
                                   std::chars_format::general, 10)
                         .ptr;
    return {buffer.data(), end};
}

std::string fixedNumber(double value, int decimals) {
    // The longest double has 309 digits before the point.
    std::array<char, 400> buffer{};
    const auto result = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value,
                                      std::chars_format::fixed, decimals);
    std::string text(buffer.data(), result.ptr);
    if (text.starts_with('-') && text.find_first_of("123456789") == std::string::npos) {
        text.erase(0, 1);
    }
    return text;
}

}  // namespace aftercurve
