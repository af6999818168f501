#include "core/base/number_text.h"
#include "core/files/csv_cell.h"
#include "core/findings/recompute/parts.h"

namespace aftercurve {

namespace {

std::string orBlank(const std::optional<double>& value) {
    return value ? plainNumber(*value) : std::string{};
}

}  // namespace

std::string indexFoodsFile(const Study& study) {
    std::string csv = "food_no,food,available_carbohydrate_g,portion_g,serving_g\n";
    for (std::size_t f = 0; f < study.foods.size(); ++f) {
        const Food& food = study.foods[f];
        csv += std::to_string(f + 1) + ',' + textCell(food.id) + ',' + orBlank(food.availableCarbohydrateG) +
               ',' + orBlank(food.portionG) + ',' + orBlank(food.composition.servingG) + '\n';
    }
    return csv;
}

std::string mealPartsFile(const Study& study) {
    std::string csv = "food_no,part_no,part,carbohydrate_g,index,scale,source\n";
    for (std::size_t f = 0; f < study.foods.size(); ++f) {
        for (std::size_t i = 0; i < study.foods[f].parts.size(); ++i) {
            const MealPart& part = study.foods[f].parts[i];
            csv += std::to_string(f + 1) + ',' + std::to_string(i + 1) + ',' + textCell(part.label) + ',' +
                   plainNumber(part.carbohydrateG) + ',' + plainNumber(part.index) + ',' +
                   std::string{wordFor(part.scale)} + ',' + textCell(part.source) + '\n';
        }
    }
    return csv;
}

}  // namespace aftercurve
