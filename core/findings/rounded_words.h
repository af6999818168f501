#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace aftercurve {

/// A number in running text, with the digits that a reader needs: two decimals, one from 100 on, three
/// significant digits below 0.01 and from 1e9 on; the minus sign of typography.
std::string roundedText(double value);

/// The same with so many decimals, whatever its size: "−39.7".
std::string fixedText(double value, int decimals);

/// Degrees of freedom: one decimal, none where that is 0: "17.3", "46".
std::string dfText(double df);

/// A text whose first letter, where it is one of A to Z, is small.
std::string lowered(std::string text);

/// "95 % CI 1.20 to 3.40" for alpha 0.05.
std::string intervalWords(double low, double high, double alpha);

/// "1 subject", "12 subjects": the plural is the word with an s.
std::string countedWords(std::size_t n, const std::string& word);

/// "a", "a and b", "a, b and c".
std::string listedWords(const std::vector<std::string>& words);

/// The label of a measure inside a sentence: "incremental area".
std::string measureInWords(std::string_view key);

}  // namespace aftercurve
