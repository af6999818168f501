#include "core/findings/rounded_words.h"

#include <charconv>
#include <cmath>
#include <iterator>

#include "core/base/number_text.h"
#include "core/curve/measures.h"

namespace aftercurve {

namespace {

std::string withMinusSign(std::string text) {
    if (text.starts_with('-')) {
        text.replace(0, 1, "−");
    }
    return text;
}

}  // namespace

std::string roundedText(double value) {
    const double size = std::abs(value);
    if (size >= 1e9 || (size > 0.0 && size < 0.01)) {
        char text[32];
        const auto end =
            std::to_chars(std::begin(text), std::end(text), value, std::chars_format::general, 3).ptr;
        return withMinusSign({std::begin(text), end});
    }
    return withMinusSign(fixedNumber(value, size >= 100.0 ? 1 : 2));
}

std::string fixedText(double value, int decimals) {
    return withMinusSign(fixedNumber(value, decimals));
}

std::string dfText(double df) {
    std::string text = fixedNumber(df, 1);
    return text.ends_with(".0") ? text.substr(0, text.size() - 2) : text;
}

std::string lowered(std::string text) {
    if (!text.empty() && text[0] >= 'A' && text[0] <= 'Z') {
        text[0] = static_cast<char>(text[0] - 'A' + 'a');
    }
    return text;
}

std::string intervalWords(double low, double high, double alpha) {
    return confidencePercent(alpha) + " % CI " + roundedText(low) + " to " + roundedText(high);
}

std::string countedWords(std::size_t n, const std::string& word) {
    return std::to_string(n) + " " + word + (n == 1 ? "" : "s");
}

std::string listedWords(const std::vector<std::string>& words) {
    std::string text;
    for (std::size_t i = 0; i < words.size(); ++i) {
        text += (i == 0 ? "" : i + 1 == words.size() ? " and " : ", ") + words[i];
    }
    return text;
}

std::string measureInWords(std::string_view key) {
    return lowered(measureLabel(key));
}

}  // namespace aftercurve
