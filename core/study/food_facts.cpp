#include "core/study/food_facts.h"

#include <array>

#include "core/base/words.h"

namespace aftercurve {

namespace {

constexpr std::array fields{
    CompositionField{"serving_g", "One serving (g)", &FoodComposition::servingG},
    CompositionField{"energy_kj", "Energy (kJ)", &FoodComposition::energyKj},
    CompositionField{"protein_g", "Protein (g)", &FoodComposition::proteinG},
    CompositionField{"fat_g", "Fat (g)", &FoodComposition::fatG},
    CompositionField{"sugars_g", "Sugars (g)", &FoodComposition::sugarsG},
    CompositionField{"starch_g", "Starch (g)", &FoodComposition::starchG},
    CompositionField{"resistant_starch_g", "Resistant starch (g)", &FoodComposition::resistantStarchG},
    CompositionField{"slowly_digestible_starch_g", "Slowly digestible starch (g)",
                     &FoodComposition::slowlyDigestibleStarchG},
    CompositionField{"fibre_g", "Fibre (g)", &FoodComposition::fibreG},
};

constexpr Words<IndexScale, 2> scaleWords{
    {{IndexScale::glucose, "glucose"}, {IndexScale::whiteBread, "white-bread"}}};

}  // namespace

std::span<const CompositionField> compositionFields() {
    return fields;
}

std::string_view wordFor(IndexScale scale) {
    return wordIn(scaleWords, scale);
}

std::optional<IndexScale> indexScaleFrom(std::string_view word) {
    return valueIn(scaleWords, word);
}

}  // namespace aftercurve
