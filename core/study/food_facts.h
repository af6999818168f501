#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace aftercurve {

/// What one portion of a food holds, as eaten: Food::portionG grams of it. Absent: not known, never 0.
struct FoodComposition {
    std::optional<double> servingG;  ///< what is eaten at a time outside the study: one slice, one biscuit
    std::optional<double> energyKj;  ///< as declared or measured
    std::optional<double> proteinG;
    std::optional<double> fatG;
    std::optional<double> sugarsG;
    std::optional<double> starchG;  ///< total starch
    std::optional<double> resistantStarchG;
    std::optional<double> slowlyDigestibleStarchG;
    std::optional<double> fibreG;  ///< by the method that the region's definition asks for

    bool operator==(const FoodComposition&) const = default;
};

/// One number of the composition: its key in study.json, what people read, and where it stands.
struct CompositionField {
    std::string_view key;    ///< "fibre_g"
    std::string_view label;  ///< "Fibre (g)"
    std::optional<double> FoodComposition::*member;
};

/// All of them, in the order of the columns of the foods table.
std::span<const CompositionField> compositionFields();

/// The scale that a published index stands on.
enum class IndexScale { glucose, whiteBread };

/// "glucose", "white-bread".
std::string_view wordFor(IndexScale scale);
std::optional<IndexScale> indexScaleFrom(std::string_view word);

/// One part of a mixed meal, for the index that its parts predict.
struct MealPart {
    std::string label;
    double carbohydrateG = 0.0;              ///< available carbohydrate of the part in the meal
    double index = 0.0;                      ///< of the part alone
    IndexScale scale = IndexScale::glucose;  ///< that `index` stands on
    std::string source;                      ///< where it is from

    bool operator==(const MealPart&) const = default;
};

}  // namespace aftercurve
