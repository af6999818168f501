#include "core/findings/index_portions.h"

#include <cmath>
#include <set>

#include "core/base/number_text.h"
#include "core/index/index_standards.h"

namespace aftercurve {

namespace {

constexpr std::string_view standardMeasure = "area_positive_incremental";
constexpr double tableBreadFactor = 0.70;
constexpr double percentRounding = 1e-9;

void addRemark(std::string& text, const std::string& more) {
    if (!more.empty()) {
        text += (text.empty() ? "" : "; ") + more;
    }
}

const Food* foodOf(const Study& study, std::string_view id) {
    const auto place = findFood(study, id);
    return place ? &study.foods[*place] : nullptr;
}

bool isWithin(double percent, const Plan& plan) {
    return std::abs(percent) <= plan.indexPlan.matchTolerancePercent + percentRounding;
}

void addLoads(IndexPortion& portion, const Food& food) {
    if (!portion.carbohydrateG) {
        addRemark(portion.remark, "available carbohydrate of the portion not given: no load");
        return;
    }
    portion.load = glycaemicLoad(portion.glucoseScale, *portion.carbohydrateG);
    if (portion.servingG && food.portionG && *food.portionG > 0.0) {
        portion.servingLoad = glycaemicLoad(portion.glucoseScale,
                                            *portion.carbohydrateG * (*portion.servingG / *food.portionG));
    } else if (portion.servingG) {
        addRemark(portion.remark, "weight of the portion not given: no load of a serving");
    }
}

IndexPortion portionOf(const Study& study, const Plan& plan, const IndexFinding& finding) {
    IndexPortion portion;
    portion.analyte = finding.analyte;
    portion.measure = finding.measure;
    portion.food = finding.food;
    portion.reference = finding.reference;
    portion.n = finding.index.n;
    const Food* food = foodOf(study, finding.food);
    const Food* reference = foodOf(study, finding.reference);
    if (food != nullptr && reference != nullptr) {
        portion.carbohydrateG = food->availableCarbohydrateG;
        portion.referenceCarbohydrateG = reference->availableCarbohydrateG;
        portion.servingG = food->composition.servingG;
    }
    if (portion.carbohydrateG && portion.referenceCarbohydrateG) {
        portion.mismatchPercent =
            carbohydrateMismatchPercent(*portion.carbohydrateG, *portion.referenceCarbohydrateG);
    }
    if (portion.mismatchPercent) {
        portion.matched = isWithin(*portion.mismatchPercent, plan);
    }
    const IndexInterval number{finding.index.mean, finding.index.ciLow, finding.index.ciHigh};
    portion.remark = finding.index.absentBecause;
    const bool glucose = finding.analyte == "glucose";
    if (portion.matched == false) {
        portion.relativeResponse = number;
        addRemark(portion.remark,
                  "relative response of the portion and no index: its available carbohydrate differs from "
                  "the reference's by more than " +
                      plainNumber(plan.indexPlan.matchTolerancePercent) + " %");
        return portion;
    }
    portion.index = number;
    if (!portion.matched) {
        addRemark(portion.remark, "whether the portions hold the same available carbohydrate is not known");
    }
    if (glucose) {
        portion.factor = plan.indexPlan.referenceFactor;
        portion.factorSource = plan.indexPlan.referenceFactorSource;
        portion.glucoseScale = onGlucoseScale(number, plan.indexPlan.referenceFactor);
        if (portion.glucoseScale.estimate && finding.measure == standardMeasure) {
            portion.indexClass = indexClass(plan.indexPlan.standard, *portion.glucoseScale.estimate);
        }
        if (food != nullptr) {
            addLoads(portion, *food);
        }
    }
    return portion;
}

Problem foodProblem(Severity severity, const std::string& food, const std::string& analyte, std::string what,
                    std::string remedy) {
    Problem p;
    p.severity = severity;
    p.food = food;
    p.analyte = analyte;
    p.what = std::move(what);
    p.remedy = std::move(remedy);
    return p;
}

void observe(MealFinding& meal, const Study& study, const Plan& plan,
             std::span<const IndexPortion> portions) {
    if (meal.food == indexReference(study, plan)) {
        addRemark(meal.remark, "the meal is the reference food: no index is observed");
        return;
    }
    for (const IndexPortion& portion : portions) {
        if (portion.food != meal.food || portion.analyte != "glucose") {
            continue;
        }
        meal.n = portion.n;
        meal.observed = portion.glucoseScale;
        if (!meal.observed.estimate || !meal.observed.low) {
            addRemark(meal.remark, portion.remark);
        }
        if (meal.observed.estimate && meal.predicted.index) {
            meal.difference = *meal.observed.estimate - *meal.predicted.index;
        }
        if (meal.observed.low && meal.observed.high && meal.predicted.index) {
            meal.holds =
                *meal.observed.low <= *meal.predicted.index && *meal.predicted.index <= *meal.observed.high;
        }
        return;
    }
    addRemark(meal.remark, "no glucose index is observed");
}

MealFinding mealOf(const Study& study, const Plan& plan, std::span<const IndexPortion> portions,
                   const Food& food) {
    MealFinding meal;
    meal.food = food.id;
    meal.measure = plan.measure;
    meal.parts = food.parts;
    meal.carbohydrateG = food.availableCarbohydrateG;
    const bool planned = plan.indexPlan.referenceFactor != 1.0;
    meal.breadFactor = planned ? plan.indexPlan.referenceFactor : tableBreadFactor;
    for (const MealPart& part : food.parts) {
        if (part.scale == IndexScale::whiteBread) {
            meal.breadFactorSource = planned ? "factor of the plan" : "0.70, as printed tables have it";
        }
    }
    meal.predicted = mealIndex(food.parts, meal.breadFactor);
    addRemark(meal.remark, meal.predicted.absentBecause);
    if (meal.predicted.carbohydrateG && meal.carbohydrateG) {
        meal.mismatchPercent =
            carbohydrateMismatchPercent(*meal.predicted.carbohydrateG, *meal.carbohydrateG);
    } else if (!meal.carbohydrateG) {
        addRemark(meal.remark, "available carbohydrate of the portion not given: its parts are not checked");
    }
    observe(meal, study, plan, portions);
    return meal;
}

}  // namespace

std::vector<IndexPortion> indexPortions(const Study& study, const Plan& plan,
                                        std::span<const IndexFinding> indices) {
    std::vector<IndexPortion> portions;
    for (const IndexFinding& finding : indices) {
        portions.push_back(portionOf(study, plan, finding));
    }
    return portions;
}

std::vector<Problem> problemsOf(std::span<const IndexPortion> portions, const Plan& plan) {
    std::vector<Problem> problems;
    std::set<std::string> told;
    for (const IndexPortion& portion : portions) {
        if (portion.matched == false && told.insert(portion.food).second) {
            problems.push_back(foodProblem(
                Severity::warning, portion.food, "",
                "the portion of " + portion.food + " holds " + plainNumber(*portion.carbohydrateG) +
                    " g of available carbohydrate, that of the reference " + portion.reference + " " +
                    plainNumber(*portion.referenceCarbohydrateG) + " g, more than " +
                    plainNumber(plan.indexPlan.matchTolerancePercent) +
                    " % apart: the number is a relative response of the portion and no index, as ISO 26642 "
                    "compares equal available carbohydrate",
                "report it as the relative response of the portion"));
        }
    }
    return problems;
}

std::vector<MealFinding> mealFindings(const Study& study, const Plan& plan,
                                      std::span<const IndexPortion> portions) {
    std::vector<MealFinding> meals;
    if (!plan.index || indexReference(study, plan).empty()) {
        return meals;
    }
    for (const Food& food : study.foods) {
        if (!food.parts.empty()) {
            meals.push_back(mealOf(study, plan, portions, food));
        }
    }
    return meals;
}

std::vector<Problem> problemsOf(std::span<const MealFinding> meals, const Plan& plan) {
    std::vector<Problem> problems;
    for (const MealFinding& meal : meals) {
        if (!meal.predicted.index) {
            problems.push_back(foodProblem(
                Severity::warning, meal.food, "glucose",
                "no index is predicted for the meal " + meal.food + ": " + meal.predicted.absentBecause,
                "check the parts of the meal in study.json"));
        }
        if (meal.mismatchPercent && !isWithin(*meal.mismatchPercent, plan)) {
            problems.push_back(foodProblem(
                Severity::warning, meal.food, "",
                "the parts of the meal " + meal.food + " hold " + plainNumber(*meal.predicted.carbohydrateG) +
                    " g of available carbohydrate, the portion " + plainNumber(*meal.carbohydrateG) +
                    " g, more than " + plainNumber(plan.indexPlan.matchTolerancePercent) + " % apart",
                "check the parts, or the carbohydrate of the portion"));
        }
        if (!meal.breadFactorSource.empty() && plan.indexPlan.referenceFactor == 1.0) {
            problems.push_back(foodProblem(Severity::note, meal.food, "glucose",
                                           "the indices of parts of " + meal.food +
                                               " on the white-bread scale were taken × 0.70 to the glucose "
                                               "scale, as the plan names no factor",
                                           ""));
        }
    }
    return problems;
}

}  // namespace aftercurve
