#include "core/planning/planning_sentence.h"

#include <algorithm>
#include <cmath>

#include "core/base/number_text.h"

namespace aftercurve {

namespace {

/// Ten significant digits at most, for numbers that a person typed or that are shown beside them.
std::string typed(double value) {
    return plainNumber(value);
}

/// Four figures, for numbers that were computed.
std::string computed(double value) {
    const double size = std::abs(value);
    if (size != 0.0 && (size < 1e-3 || size >= 1e6)) {
        return plainNumber(value);
    }
    const int before = size >= 1.0 ? static_cast<int>(std::log10(size)) + 1 : 1;
    return fixedNumber(value, std::max(0, 4 - before));
}

/// A probability in percent: one decimal, more where it would read 100.
std::string percent(double share) {
    for (const int decimals : {1, 2, 3, 4}) {
        const std::string text = fixedNumber(100.0 * share, decimals);
        if (share == 1.0 || (text != fixedNumber(100.0, decimals) && text != fixedNumber(0.0, decimals))) {
            return text + " %";
        }
    }
    return share > 0.5 ? "more than 99.9999 %" : "less than 0.0001 %";
}

std::string withUnit(const std::string& number, const std::string& unit) {
    return unit.empty() ? number : number + " " + unit;
}

std::string spreadWords(const Spread& spread, const std::string& unit) {
    switch (spread.kind) {
        case SpreadKind::sdOfDifferences:
            return "an SD of the differences of " + withUnit(typed(spread.value), unit);
        case SpreadKind::sdWithin:
            return "an SD within a subject of " + withUnit(typed(spread.value), unit);
        case SpreadKind::cvWithin:
            return "a CV within a subject of " + typed(spread.value) + " %";
    }
    return "";
}

std::string designWords(TwoFoodDesign design) {
    return design == TwoFoodDesign::paired ? "paired t test" : "crossover analysis with periods";
}

std::string scaleUnit(PlanningScale scale, const std::string& unit) {
    return scale == PlanningScale::ratio ? "" : unit;
}

struct Words {
    const std::string& unit;

    std::string operator()(const DifferenceQuestion& question) const {
        return "to find a true difference of " + withUnit(typed(question.difference), unit) + " with " +
               spreadWords(question.spread, unit) + " (" + designWords(question.design) +
               ", two-sided level " + typed(question.alpha) +
               (question.comparisons > 1
                    ? " divided by " + std::to_string(question.comparisons) + " comparisons (Bonferroni)"
                    : "") +
               "; noncentral t)";
    }
    std::string operator()(const FoodsQuestion& question) const {
        std::string means;
        for (const double mean : question.means) {
            means += (means.empty() ? "" : ", ") + typed(mean);
        }
        return "to find that " + std::to_string(question.means.size()) + " foods with true means " + means +
               (unit.empty() ? "" : " " + unit) + " differ, with an SD within a subject of " +
               withUnit(typed(question.sdWithin), unit) + " (F test within subjects" +
               (question.periodInModel ? ", periods in the model" : "") + ", level " + typed(question.alpha) +
               "; noncentral F)";
    }
    std::string operator()(const EquivalenceQuestion& question) const {
        const bool ratio = question.scale == PlanningScale::ratio;
        const std::string its = scaleUnit(question.scale, unit);
        return "to show equivalence within " +
               withUnit(typed(question.low) + " to " + typed(question.high), its) + " at a true " +
               (ratio ? "ratio" : "difference") + " of " + withUnit(typed(question.expected), its) +
               " with " + spreadWords(question.spread, its) + (ratio ? ", on logarithms" : "") +
               " (two one-sided tests at level " + typed(question.alpha) + ", " +
               designWords(question.design) + "; exact)";
    }
    std::string operator()(const NonInferiorityQuestion& question) const {
        const bool ratio = question.scale == PlanningScale::ratio;
        const std::string its = scaleUnit(question.scale, unit);
        return std::string{"to show that the "} + (ratio ? "ratio" : "difference") + " is " +
               (question.lowerIsBetter ? "below " : "above ") + withUnit(typed(question.limit), its) +
               " at a true value of " + withUnit(typed(question.expected), its) + " with " +
               spreadWords(question.spread, its) + (ratio ? ", on logarithms" : "") + " (one-sided level " +
               typed(question.alpha) + ", " + designWords(question.design) + "; noncentral t)";
    }
    std::string interval(double halfWidth, double alpha, const std::string& what, const std::string& spread,
                         const std::string& its) const {
        return "for a " + confidencePercent(alpha) + " % interval of " + what + " that reaches at most " +
               withUnit(typed(halfWidth), its) + " to either side, with " + spread;
    }
    std::string operator()(const IntervalQuestion& question) const {
        return interval(question.halfWidth, question.alpha, "the mean difference",
                        spreadWords(question.spread, unit), unit) +
               " (" + designWords(question.design) + ")";
    }
    std::string operator()(const IndexQuestion& question) const {
        return interval(question.halfWidth, question.alpha, "the mean index",
                        "an SD between subjects of " + typed(question.sd), "") +
               " (interval by Student's t)";
    }
};

std::string wordsOf(const PlanningQuestion& question, const std::string& unit) {
    return std::visit(Words{unit}, question);
}

/// An index has no unit.
std::string unitOf(const PlanningQuestion& question, const std::string& unit) {
    return std::holds_alternative<IndexQuestion>(question) ? std::string{} : unit;
}

bool isInterval(const PlanningQuestion& question) {
    return std::holds_alternative<IntervalQuestion>(question) ||
           std::holds_alternative<IndexQuestion>(question);
}

std::string valueWords(const PlanningQuestion& question, double value, const std::string& unit) {
    if (asksHalfWidth(question)) {
        return "half-width reached " + withUnit(computed(value), unitOf(question, unit));
    }
    return (isInterval(question) ? "probability that the study's own interval is as narrow " : "power ") +
           percent(value);
}

std::string subjects(std::size_t n) {
    return std::to_string(n) + (n == 1 ? " subject" : " subjects");
}

}  // namespace

std::string sizeSentence(const PlanningQuestion& question, const SizeRequest& request,
                         const SizeAnswer& answer, const std::string& unit) {
    if (!answer.n) {
        return "No number of subjects: " + answer.absentBecause + ".";
    }
    std::string text = subjects(*answer.n) + " who complete are needed " + wordsOf(question, unit) + "; " +
                       valueWords(question, *answer.power, unit);
    if (!isInterval(question)) {
        text += ", asked for " + percent(request.power);
    }
    text += ".";
    if (*answer.enrolled != *answer.n) {
        text += " Enrol " + subjects(*answer.enrolled);
        if (request.dropout > 0.0) {
            text += ": " + percent(request.dropout) + " are expected to drop out";
        }
        if (request.multipleOf > 1) {
            text += std::string{request.dropout > 0.0 ? ", and" : ":"} +
                    " the number is made up to whole blocks of " + std::to_string(request.multipleOf);
        }
        text += ".";
    }
    return text + " Assumes near normal differences" +
           " and a scatter as put in; a scatter that is larger needs more subjects.";
}

std::string powerSentence(const PlanningQuestion& question, std::size_t n, const PowerAnswer& answer,
                          const std::string& unit) {
    if (!answer.value) {
        return "No power: " + answer.absentBecause + ".";
    }
    return "With " + subjects(n) + " " + wordsOf(question, unit) + ": " +
           valueWords(question, *answer.value, unit) + ".";
}

std::string detectableSentence(const PlanningQuestion& question, std::size_t n, double power,
                               const DetectableAnswer& answer, const std::string& unit) {
    if (!answer.value) {
        return "Nothing that can be found: " + answer.absentBecause + ".";
    }
    std::string what = "smallest difference that is found";
    std::string its = unitOf(question, unit);
    if (std::holds_alternative<FoodsQuestion>(question)) {
        what = "smallest range of the foods' means that is found";
    } else if (const auto* equivalence = std::get_if<EquivalenceQuestion>(&question)) {
        const bool ratio = equivalence->scale == PlanningScale::ratio;
        what = ratio ? "narrowest limits are 1 divided and multiplied by the factor"
                     : "narrowest limit to either side";
        its = scaleUnit(equivalence->scale, unit);
    } else if (const auto* one = std::get_if<NonInferiorityQuestion>(&question)) {
        what = one->scale == PlanningScale::ratio ? "smallest factor between true value and limit"
                                                  : "smallest distance of the limit from the true value";
        its = scaleUnit(one->scale, unit);
    } else if (isInterval(question)) {
        what = "half-width";
    }
    std::string with = "With " + subjects(n);
    if (!asksHalfWidth(question)) {
        with += " and a " + std::string{isInterval(question) ? "probability" : "power"} + " of " +
                percent(targetOf(question, power));
    }
    return with + ": " + what + " " + withUnit(computed(*answer.value), its) + ".";
}

}  // namespace aftercurve
