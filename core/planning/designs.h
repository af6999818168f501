#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace aftercurve {

/// The foods of one subject, by period: numbers of foods from 0.
using FoodSequence = std::vector<std::size_t>;

/// Which sequences a schedule is made of. In each of them every food stands once.
enum class SequenceDesign {
    cyclic,        ///< k sequences: each food once in each period (a Latin square)
    williams,      ///< the same, and each food as often straight after each other one; 2k sequences for odd k
    permutations,  ///< all k! orders, for k up to 4
};

/// "cyclic", "williams", "permutations".
std::string_view wordFor(SequenceDesign design);
std::optional<SequenceDesign> sequenceDesignFrom(std::string_view word);

constexpr std::size_t mostScheduledFoods = 26;
constexpr std::size_t mostPermutedFoods = 4;

/// Row i, period j: food (i + j) mod k. Not balanced for carry-over beyond k = 2.
std::vector<FoodSequence> cyclicSquare(std::size_t foods);

/// First row 0, 1, k − 1, 2, k − 2, ...; row i adds i modulo k. Even k: one square, each ordered pair of
/// foods once in consecutive periods. Odd k: a second square, the first one read backwards; each pair twice.
/// Source: Williams 1949, Aust J Sci Res A 2:149 (from memory; the balance is tested).
std::vector<FoodSequence> williamsSquares(std::size_t foods);

/// All orders, in lexicographic order.
std::vector<FoodSequence> allPermutations(std::size_t foods);

/// The sequences of a design; empty for fewer than 2 or more than 26 foods, for permutations of more than 4.
std::vector<FoodSequence> sequencesOf(SequenceDesign design, std::size_t foods);

/// "ABDC": food 0 is A.
std::string sequenceLetters(const FoodSequence& sequence);

}  // namespace aftercurve
