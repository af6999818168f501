#include "core/findings/index_sentences.h"

#include <algorithm>

#include "core/base/number_text.h"
#include "core/findings/adjusted_p.h"
#include "core/findings/narrative.h"
#include "core/findings/rounded_words.h"

namespace aftercurve {

namespace {

std::string withInterval(const IndexInterval& interval, double alpha, const std::string& unit = {}) {
    std::string text = fixedText(interval.estimate.value_or(0.0), 1) + unit;
    if (interval.low && interval.high) {
        text += " (" + confidencePercent(alpha) + " % CI " + fixedText(*interval.low, 1) + " to " +
                fixedText(*interval.high, 1) + ")";
    }
    return text;
}

}  // namespace

std::string indexWaysSentence(const Study& study, std::span<const IndexWay> ways) {
    const IndexWay* least = nullptr;
    const IndexWay* most = nullptr;
    const IndexWay* means = nullptr;
    for (const IndexWay& way : ways) {
        if (!way.estimate) {
            continue;
        }
        if (least == nullptr || *way.estimate < *least->estimate) {
            least = &way;
        }
        if (most == nullptr || *way.estimate > *most->estimate) {
            most = &way;
        }
        if (way.way == IndexWayKind::ratioOfMeans) {
            means = &way;
        }
    }
    if (least == nullptr) {
        return {};
    }
    std::string text = "Of the ways to find the " + least->analyte + " index of " +
                       labelOf(study, least->food) + " the " + lowered(labelOf(least->way)) +
                       " gave the least, " + fixedText(*least->estimate, 1) + ", and the " +
                       lowered(labelOf(most->way)) + " the most, " + fixedText(*most->estimate, 1) + " (" +
                       countedWords(least->n, "subject") + ").";
    if (means != nullptr && means->covarianceTerm) {
        text += " The ratio of means was " + fixedText(*means->estimate, 1) + "; it lies " +
                fixedText(std::max(*means->covarianceTerm, -*means->covarianceTerm), 1) +
                (*means->covarianceTerm < 0.0 ? " below" : " above") +
                " the mean of ratios by the covariance of the subjects' ratios with their reference values.";
    }
    return text;
}

std::string indexPairSentence(const Study& study, const Plan& plan, const IndexPair& pair) {
    const std::string food = labelOf(study, pair.food);
    const std::string comparator = pair.withReference
                                       ? "the reference " + labelOf(study, pair.comparator) + " (100)"
                                       : labelOf(study, pair.comparator);
    const std::string what = "the " + pair.analyte + " index";
    if (!pair.t.meanDifference) {
        return "No subject has " + what + " of both " + food + " and " + comparator + ".";
    }
    const double difference = *pair.t.meanDifference;
    if (!pair.t.p || !pair.t.ciLow || !pair.t.ciHigh || !pair.t.t || !pair.t.df) {
        return "The mean difference in " + what + " between " + food + " and " + comparator + " was " +
               fixedText(difference, 1) + " in " + countedWords(pair.t.n, "subject") +
               "; it could not be tested: " + pair.t.absentBecause + ".";
    }
    const bool adjusted = pair.pAdjusted && *pair.pAdjusted != *pair.t.p;
    const std::string numbers =
        "(" + confidencePercent(plan.alpha) + " % CI " + fixedText(*pair.t.ciLow, 1) + " to " +
        fixedText(*pair.t.ciHigh, 1) + "; paired t(" + plainNumber(*pair.t.df) +
        ") = " + fixedText(*pair.t.t, 2) + ", " + pText(*pair.t.p) +
        (adjusted ? ", " + adjustmentLabel(plan.multiplicity) + "-adjusted " + pText(*pair.pAdjusted) : "") +
        "; n = " + std::to_string(pair.t.n) + ")";
    if (pair.pAdjusted.value_or(*pair.t.p) < plan.alpha) {
        return "T" + what.substr(1) + " of " + food + " was " + (difference < 0.0 ? "lower" : "higher") +
               " than that of " + comparator + ": mean difference " + fixedText(difference, 1) + " " +
               numbers + ".";
    }
    return "T" + what.substr(1) + " of " + food + " minus that of " + comparator + " was " +
           fixedText(difference, 1) + " on average " + numbers + ". At the " + plainNumber(plan.alpha) +
           " level this does not tell them apart; it is not evidence that they are alike, and the interval "
           "shows which differences remain possible.";
}

std::string indexPortionSentence(const Study& study, const Plan& plan, const IndexPortion& portion) {
    const std::string food = labelOf(study, portion.food);
    const std::string reference = labelOf(study, portion.reference);
    if (portion.relativeResponse.estimate) {
        return "The " + portion.analyte + " response to the portion of " + food + " was " +
               withInterval(portion.relativeResponse, plan.alpha, " %") + " of that to the portion of " +
               reference +
               "; the portions differ in available carbohydrate, so that this is a relative response and no "
               "index.";
    }
    if (!portion.index.estimate) {
        return "What the portion of " + food + " means for " + portion.analyte +
               " could not be estimated: " + portion.remark + ".";
    }
    std::string text = "The " + portion.analyte + " index of " + food + " was " +
                       withInterval(portion.index, plan.alpha) + " where " + reference + " is 100";
    if (portion.factor && *portion.factor != 1.0 && portion.glucoseScale.estimate) {
        text += ", on the glucose scale " + withInterval(portion.glucoseScale, plan.alpha) + " (factor " +
                plainNumber(*portion.factor) +
                (portion.factorSource.empty() ? "" : ", " + portion.factorSource) + ")";
    }
    if (!portion.indexClass.empty()) {
        text += ", class " + portion.indexClass;
    }
    text += ".";
    if (portion.load.estimate && portion.carbohydrateG) {
        text += " With " + plainNumber(*portion.carbohydrateG) +
                " g of available carbohydrate the portion's glycaemic load was " +
                withInterval(portion.load, plan.alpha, " g") + ".";
    }
    if (portion.servingLoad.estimate && portion.servingG) {
        text += " A serving of " + plainNumber(*portion.servingG) + " g has a load of " +
                withInterval(portion.servingLoad, plan.alpha, " g") + ".";
    }
    return text;
}

std::string mealSentence(const Study& study, const Plan& plan, const MealFinding& meal) {
    const std::string food = labelOf(study, meal.food);
    if (!meal.predicted.index) {
        return "No index is predicted for " + food + ": " + meal.predicted.absentBecause + ".";
    }
    std::string text = "From its " + std::to_string(meal.parts.size()) +
                       (meal.parts.size() == 1 ? " part" : " parts") + " an index of " +
                       fixedText(*meal.predicted.index, 1) + " on the glucose scale is predicted for " + food;
    if (!meal.observed.estimate) {
        return text + "; none was observed.";
    }
    text += "; " + withInterval(meal.observed, plan.alpha) + " was observed in " +
            countedWords(meal.n, "subject");
    if (meal.difference) {
        text += ", a difference of " + fixedText(*meal.difference, 1);
    }
    if (meal.holds) {
        text += *meal.holds
                    ? "; the interval holds the predicted value, which does not show that the two are equal"
                    : "; the interval does not hold the predicted value";
    }
    return text + ".";
}

}  // namespace aftercurve
