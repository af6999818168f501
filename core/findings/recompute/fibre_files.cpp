// The determinations of fibre, the rule they are held against and the recipes, as data files.
#include <map>
#include <optional>
#include <string>
#include <string_view>

#include "core/base/number_text.h"
#include "core/fibre/fibre_methods.h"
#include "core/files/csv_cell.h"
#include "core/findings/recompute/parts.h"
#include "core/study/laboratory_counted.h"

namespace aftercurve {

namespace {

using Numbers = std::map<std::string, std::size_t, std::less<>>;

std::string orBlank(const std::optional<double>& value) {
    return value ? plainNumber(*value) : std::string{};
}

std::string orBlank(const Numbers& numbers, std::string_view name) {
    const auto found = numbers.find(name);
    return name.empty() || found == numbers.end() ? std::string{} : std::to_string(found->second);
}

void number(Numbers& numbers, std::string_view name) {
    numbers.emplace(name, numbers.size() + 1);
}

/// Materials, methods (those of the table first) and laboratories, from 1.
struct FibreNumbers {
    Numbers material;
    Numbers method;
    Numbers laboratory;
};

FibreNumbers fibreNumbers(const FibreData& fibre) {
    FibreNumbers numbers;
    for (const FibreMethod& method : fibreMethods()) {
        number(numbers.method, method.key);
    }
    for (const FibreResult& result : fibre.results) {
        number(numbers.material, result.material);
        number(numbers.method, fibreMethodKey(result.method));
        number(numbers.laboratory, result.laboratory);
    }
    for (const Recipe& recipe : fibre.recipes) {
        for (const RecipePart& part : recipe.parts) {
            number(numbers.material, part.material);
        }
        number(numbers.material, recipe.replaced);
        number(numbers.material, recipe.by);
    }
    return numbers;
}

std::string settingsOf(const FibreFindings& findings) {
    std::string csv = "key,value\n";
    csv += std::string{"rule,"} + (findings.rule ? "yes" : "no") + '\n';
    csv +=
        "label_per," + (findings.rule ? std::string{wordFor(findings.rule->labelPer)} : std::string{}) + '\n';
    csv += "target_g," + orBlank(findings.targetG) + '\n';
    return csv;
}

std::string ruleOf(const FibreFindings& findings) {
    std::string csv = "kind,statement_no,part,per,g,above,nearest_g,figures,words\n";
    if (!findings.rule) {
        return csv;
    }
    for (const FibrePart part : findings.rule->includes) {
        csv += "includes,," + std::string{wordFor(part)} + ",,,,,,\n";
    }
    for (std::size_t s = 0; s < findings.rule->statements.size(); ++s) {
        for (const FibreThreshold& threshold : findings.rule->statements[s].anyOf) {
            csv += "threshold," + std::to_string(s + 1) + ",," + std::string{wordFor(threshold.per)} + ',' +
                   plainNumber(threshold.atLeastG) + ",,,," + '\n';
        }
    }
    for (const FibreRoundingStep& step : findings.rule->rounding) {
        csv += "rounding,,,," + plainNumber(step.fromG) + ',' + (step.above ? "yes" : "no") + ',' +
               plainNumber(step.nearestG) + ',' + std::to_string(step.figures) + ',' + textCell(step.words) +
               '\n';
    }
    return csv;
}

std::string methodsOf(const FibreData& fibre, const FibreNumbers& numbers) {
    std::string csv = "method_no,method,in_table";
    for (const FibrePart part : allFibreParts) {
        csv += ',' + std::string{wordFor(part)};
    }
    csv += ",fractions,sr_low_g,sr_high_g,sr_low_percent,sr_high_percent,own_sr_g\n";
    std::map<std::size_t, std::string_view> byNumber;
    for (const auto& [key, no] : numbers.method) {
        byNumber.emplace(no, key);
    }
    for (const auto& [no, key] : byNumber) {
        const FibreMethod* method = findFibreMethod(key);
        csv += std::to_string(no) + ',' + textCell(key) + ',' + (method == nullptr ? "no" : "yes");
        std::string fractions;
        for (std::size_t i = 0; i < allFibreParts.size(); ++i) {
            csv += ',' +
                   (method == nullptr ? std::string{} : std::string{wordFor(method->of(allFibreParts[i]))});
        }
        if (method != nullptr) {
            for (const std::string_view fraction : method->fractions) {
                fractions += (fractions.empty() ? "" : " ") + std::string{fraction};
            }
        }
        const PublishedRepeatability none;
        const PublishedRepeatability& published = method == nullptr ? none : method->repeatability;
        csv += ',' + fractions + ',' + orBlank(published.lowG) + ',' + orBlank(published.highG) + ',' +
               orBlank(published.lowPercent) + ',' + orBlank(published.highPercent) + ',';
        for (const OwnRepeatability& own : fibre.repeatability) {
            if (fibreMethodKey(own.method) == key) {
                csv += plainNumber(own.sdG);
                break;
            }
        }
        csv += '\n';
    }
    return csv;
}

/// Number of the food that has this id or label; blank: none.
std::string foodNumber(const Study& study, std::string_view name) {
    for (std::size_t f = 0; f < study.foods.size(); ++f) {
        if (study.foods[f].id == name || study.foods[f].label == name) {
            return std::to_string(f + 1);
        }
    }
    return {};
}

std::string resultsOf(const Study& study, const FibreNumbers& numbers) {
    std::string csv =
        "material_no,material,food_no,method_no,method,fraction,laboratory_no,laboratory,replicate,value,"
        "basis,moisture_percent,excluded,excluded_because\n";
    for (const FibreResult& result : study.fibre.results) {
        const std::string method = fibreMethodKey(result.method);
        const Exclusion* exclusion = excludes(study.exclusions, result);
        csv += std::to_string(numbers.material.find(result.material)->second) + ',' +
               textCell(result.material) + ',' + foodNumber(study, result.material) + ',' +
               std::to_string(numbers.method.find(method)->second) + ',' + textCell(method) + ',' +
               textCell(result.fraction) + ',' +
               std::to_string(numbers.laboratory.find(result.laboratory)->second) + ',' +
               textCell(result.laboratory) + ',' + std::to_string(result.replicate) + ',' +
               orBlank(result.value) + ',' + (result.dryBasis ? "dry" : "as-is") + ',' +
               orBlank(result.moisturePercent) + ',' + (exclusion != nullptr ? "yes" : "no") + ',' +
               textCell(exclusion != nullptr ? reasonOf(*exclusion) : std::string{}) + '\n';
    }
    return csv;
}

std::string recipesOf(const FibreData& fibre, const FibreNumbers& numbers) {
    std::string csv = "recipe_no,recipe,baked_mass_g,serving_g,replaced_no,by_no,replaced_share\n";
    for (std::size_t r = 0; r < fibre.recipes.size(); ++r) {
        const Recipe& recipe = fibre.recipes[r];
        csv += std::to_string(r + 1) + ',' + textCell(recipe.id) + ',' + orBlank(recipe.bakedMassG) + ',' +
               plainNumber(recipe.servingG) + ',' + orBlank(numbers.material, recipe.replaced) + ',' +
               orBlank(numbers.material, recipe.by) + ',' + plainNumber(recipe.replacedShare) + '\n';
    }
    return csv;
}

std::string partsOf(const FibreData& fibre, const FibreNumbers& numbers) {
    std::string csv =
        "recipe_no,material_no,material,mass_g,fibre_g,available_carbohydrate_g,protein_g,fat_g,water_g\n";
    for (std::size_t r = 0; r < fibre.recipes.size(); ++r) {
        for (const RecipePart& part : fibre.recipes[r].parts) {
            csv += std::to_string(r + 1) + ',' +
                   std::to_string(numbers.material.find(part.material)->second) + ',' +
                   textCell(part.material) + ',' + plainNumber(part.massG) + ',' +
                   orBlank(part.fibrePer100g) + ',' + orBlank(part.availableCarbohydratePer100g) + ',' +
                   orBlank(part.proteinPer100g) + ',' + orBlank(part.fatPer100g) + ',' +
                   orBlank(part.waterPer100g) + '\n';
        }
    }
    return csv;
}

}  // namespace

FibreFiles fibreFiles(const Study& study, const Findings& findings) {
    const FibreNumbers numbers = fibreNumbers(study.fibre);
    return {settingsOf(findings.fibre), ruleOf(findings.fibre),          methodsOf(study.fibre, numbers),
            resultsOf(study, numbers),  recipesOf(study.fibre, numbers), partsOf(study.fibre, numbers)};
}

}  // namespace aftercurve
