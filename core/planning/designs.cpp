#include "core/planning/designs.h"

#include <algorithm>
#include <numeric>

namespace aftercurve {

std::string_view wordFor(SequenceDesign design) {
    switch (design) {
        case SequenceDesign::cyclic:
            return "cyclic";
        case SequenceDesign::williams:
            return "williams";
        case SequenceDesign::permutations:
            return "permutations";
    }
    return "";
}

std::optional<SequenceDesign> sequenceDesignFrom(std::string_view word) {
    for (const SequenceDesign design :
         {SequenceDesign::cyclic, SequenceDesign::williams, SequenceDesign::permutations}) {
        if (wordFor(design) == word) {
            return design;
        }
    }
    return std::nullopt;
}

std::vector<FoodSequence> cyclicSquare(std::size_t foods) {
    std::vector<FoodSequence> square(foods, FoodSequence(foods));
    for (std::size_t i = 0; i < foods; ++i) {
        for (std::size_t j = 0; j < foods; ++j) {
            square[i][j] = (i + j) % foods;
        }
    }
    return square;
}

std::vector<FoodSequence> williamsSquares(std::size_t foods) {
    FoodSequence first;
    for (std::size_t j = 0; j < foods; ++j) {
        first.push_back(j % 2 == 1 ? (j + 1) / 2 : (foods - j / 2) % foods);
    }
    std::vector<FoodSequence> squares;
    for (std::size_t i = 0; i < foods; ++i) {
        FoodSequence row = first;
        for (std::size_t& food : row) {
            food = (food + i) % foods;
        }
        squares.push_back(std::move(row));
    }
    if (foods % 2 == 1) {
        for (std::size_t i = 0; i < foods; ++i) {
            squares.emplace_back(squares[i].rbegin(), squares[i].rend());
        }
    }
    return squares;
}

std::vector<FoodSequence> allPermutations(std::size_t foods) {
    FoodSequence order(foods);
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::vector<FoodSequence> all;
    do {
        all.push_back(order);
    } while (std::next_permutation(order.begin(), order.end()));
    return all;
}

std::vector<FoodSequence> sequencesOf(SequenceDesign design, std::size_t foods) {
    if (foods < 2 || foods > mostScheduledFoods) {
        return {};
    }
    switch (design) {
        case SequenceDesign::cyclic:
            return cyclicSquare(foods);
        case SequenceDesign::williams:
            return williamsSquares(foods);
        case SequenceDesign::permutations:
            return foods <= mostPermutedFoods ? allPermutations(foods) : std::vector<FoodSequence>{};
    }
    return {};
}

std::string sequenceLetters(const FoodSequence& sequence) {
    std::string letters;
    for (const std::size_t food : sequence) {
        letters += static_cast<char>('A' + static_cast<char>(food));
    }
    return letters;
}

}  // namespace aftercurve
