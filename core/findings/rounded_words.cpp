#include "core/findings/rounded_words.h"

#include <cmath>

#include "core/base/number_text.h"

namespace aftercurve {

std::string roundedText(double value) {
    const double size = std::abs(value);
    int decimals = 2;
    if (size >= 1e9 || (size > 0.0 && size < 0.01)) {
        return plainNumber(value);
    }
    if (size >= 100.0) {
        decimals = 1;
    }
    std::string text = fixedNumber(value, decimals);
    if (text.starts_with('-')) {
        text.replace(0, 1, "−");
    }
    return text;
}

std::string intervalWords(double low, double high, double alpha) {
    return confidencePercent(alpha) + " % CI " + roundedText(low) + " to " + roundedText(high);
}

std::string countedWords(std::size_t n, const std::string& word) {
    return std::to_string(n) + " " + word + (n == 1 ? "" : "s");
}

}  // namespace aftercurve
