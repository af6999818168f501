#pragma once

#include <cstddef>
#include <string>

namespace aftercurve {

/// A number in running text, with the digits that a reader needs: three significant ones at least, never more
/// than two decimals; the minus sign of typography. Very large and very small ones in full.
std::string roundedText(double value);

/// "95 % CI 1.20 to 3.40" for alpha 0.05.
std::string intervalWords(double low, double high, double alpha);

/// "1 subject", "12 subjects": the plural is the word with an s.
std::string countedWords(std::size_t n, const std::string& word);

}  // namespace aftercurve
