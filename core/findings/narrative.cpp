#include "core/findings/narrative.h"

#include "core/base/number_text.h"
#include "core/curve/measures.h"
#include "core/findings/adjusted_p.h"
#include "core/findings/margin_words.h"
#include "core/findings/rounded_words.h"
#include "core/findings/sentence.h"
#include "core/index/index_standards.h"

namespace aftercurve {

namespace {

constexpr double smallestPrintedP = 0.001;
constexpr double largestPrintedP = 0.999;

}  // namespace

std::string pText(double p) {
    if (p < smallestPrintedP) {
        return "p < 0.001";
    }
    if (p > largestPrintedP) {
        return "p > 0.999";
    }
    return "p = " + fixedNumber(p, 3);
}

std::string comparisonSentence(const Study& study, const Plan& plan, const ComparisonFinding& c) {
    const std::string what = c.analyte + " " + measureInWords(c.measure);
    const std::string food = labelOf(study, c.food);
    const std::string comparator = labelOf(study, c.comparator);
    if (!c.t.meanDifference) {
        return "No subject has a value of " + what + " for both " + food + " and " + comparator + ".";
    }
    const double difference = *c.t.meanDifference;
    if (!c.t.p) {
        return "The mean difference in " + what + " between " + food + " and " + comparator + " was " +
               roundedText(difference) + " " + c.unit + " in " + countedWords(c.t.n, "subject") +
               "; it could not be tested: " + c.t.absentBecause + ".";
    }
    const bool adjusted = c.pAdjusted && *c.pAdjusted != *c.t.p;
    const double decisive = c.pAdjusted.value_or(*c.t.p);
    const std::string numbers =
        "(" + intervalWords(*c.t.ciLow, *c.t.ciHigh, plan.alpha) + "; paired t(" + plainNumber(*c.t.df) +
        ") = " + roundedText(*c.t.t) + ", " + pText(*c.t.p) +
        (adjusted ? ", " + adjustmentLabel(plan.multiplicity) + "-adjusted " + pText(*c.pAdjusted) : "") +
        "; n = " + std::to_string(c.t.n) + ")";
    if (decisive < plan.alpha) {
        return "Mean " + what + " was " + (difference < 0.0 ? "lower" : "higher") + " after " + food +
               " than after " + comparator + ": difference " + roundedText(difference) + " " + c.unit + " " +
               numbers + ".";
    }
    return "Mean " + what + " after " + food + " minus " + comparator + " was " + roundedText(difference) +
           " " + c.unit + " " + numbers + ". At the " + plainNumber(plan.alpha) +
           " level this does not tell the foods apart; it is not evidence that they are alike, and the "
           "interval shows "
           "which differences remain possible.";
}

std::string indexSentence(const Study& study, const Plan& plan, const IndexFinding& finding) {
    const FoodIndex& index = finding.index;
    const std::string food = labelOf(study, finding.food);
    if (!index.mean) {
        return "The index of " + food + " could not be estimated: " + index.absentBecause + ".";
    }
    std::string text = "The " + finding.analyte + " index of " + food + " against " +
                       labelOf(study, finding.reference) + " was " + fixedText(*index.mean, 1);
    if (index.sem) {
        text += " ± " + fixedText(*index.sem, 1) + " (mean ± SEM";
        if (index.ciLow && index.ciHigh) {
            text += "; " + confidencePercent(plan.alpha) + " % CI " + fixedText(*index.ciLow, 1) + " to " +
                    fixedText(*index.ciHigh, 1);
        }
        text += "; n = " + std::to_string(index.n) + ")";
    } else {
        text += " in " + countedWords(index.n, "subject");
    }
    if (finding.indexClass) {
        text +=
            ", class " + *finding.indexClass + " by " + std::string{rulesOf(plan.indexPlan.standard).title};
    }
    return text + ".";
}

namespace {

std::string estimateWords(const std::string& name, const std::optional<double>& estimate,
                          const std::optional<double>& low, const std::optional<double>& high,
                          double confidenceAlpha, const std::string& unit) {
    std::string text = name + " " + roundedText(estimate.value_or(0.0));
    if (low && high) {
        text += " (" + intervalWords(*low, *high, confidenceAlpha) + ")";
    }
    return text + (unit.empty() ? "" : " " + unit);
}

}  // namespace

std::string marginSentence(const Study& study, const Plan& plan, const MarginFinding& finding) {
    const Equivalence& e = finding.result;
    const std::string begin = labelOf(study, finding.food) + " against " +
                              labelOf(study, finding.comparator) + ", " + measureInWords(finding.measure) +
                              " of " + finding.analyte + ": ";
    if (!e.p) {
        return begin + "equivalence was not tested, " + e.absentBecause + ".";
    }
    return begin +
           estimateWords(labelOf(finding.scale), e.estimate, e.ciLow, e.ciHigh, 2.0 * plan.alpha,
                         finding.unit) +
           ", margins " + plainNumber(finding.low) + " to " + plainNumber(finding.high) + ": " +
           std::string{verdictWords(e.verdict)} + " (two one-sided tests, larger " + pText(*e.p) +
           ", n = " + std::to_string(e.n) + ").";
}

std::string marginSentence(const Study& study, const Plan& plan, const NonInferiorityFinding& finding) {
    const OneSidedMargin& e = finding.result;
    const std::string begin = labelOf(study, finding.food) + " against " +
                              labelOf(study, finding.comparator) + ", " + measureInWords(finding.measure) +
                              " of " + finding.analyte + ": ";
    if (!e.p || !e.limit) {
        return begin + "non-inferiority was not tested, " + e.absentBecause + ".";
    }
    return begin + estimateWords("mean difference", e.estimate, e.ciLow, e.ciHigh, plan.alpha, finding.unit) +
           ", margin " + plainNumber(*e.limit) + ": " +
           std::string{verdictWords(e.verdict, MarginClaim::nonInferiority)} + " (one-sided " + pText(*e.p) +
           ", n = " + std::to_string(e.n) + ").";
}

std::string methodsParagraph(const Study& study, const Findings& findings) {
    std::string text;
    for (const Sentence& sentence : methodsSentences(study, findings)) {
        text += (text.empty() ? "" : " ") + sentence.text;
    }
    return text;
}

}  // namespace aftercurve
