#include "core/findings/narrative.h"

#include <algorithm>

#include "core/base/number_text.h"
#include "core/base/version.h"
#include "core/curve/measures.h"
#include "core/findings/adjusted_p.h"
#include "core/findings/margin_words.h"
#include "core/findings/rounded_words.h"
#include "core/index/index_standards.h"

namespace aftercurve {

namespace {

constexpr double smallestPrintedP = 0.001;
constexpr double largestPrintedP = 0.999;

std::string labelOfMeasure(const std::string& key) {
    std::string label = measureLabel(key);
    label[0] = static_cast<char>(label[0] >= 'A' && label[0] <= 'Z' ? label[0] - 'A' + 'a' : label[0]);
    return label;
}

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
    const std::string what = c.analyte + " " + labelOfMeasure(c.measure);
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
    const std::string numbers = "(" + intervalWords(*c.t.ciLow, *c.t.ciHigh, plan.alpha) + "; paired t(" +
                                plainNumber(*c.t.df) + ") = " + roundedText(*c.t.t) + ", " + pText(*c.t.p) +
                                (adjusted ? ", Holm-adjusted " + pText(*c.pAdjusted) : "") +
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
                       labelOf(study, finding.reference) + " was " + fixedNumber(*index.mean, 1);
    if (index.sem) {
        text += " ± " + fixedNumber(*index.sem, 1) + " (mean ± SEM";
        if (index.ciLow && index.ciHigh) {
            text += "; " + confidencePercent(plan.alpha) + " % CI " + fixedNumber(*index.ciLow, 1) + " to " +
                    fixedNumber(*index.ciHigh, 1);
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

/// What the statistics beside the paired comparison were, as far as they ran.
std::string furtherMethods(const Findings& findings) {
    const Plan& plan = findings.plan;
    std::string text;
    if (!findings.models.empty()) {
        text += "A linear mixed model (" + findings.models.front().formula + ") was fitted by REML, with " +
                (plan.inference.modelDf == ModelDf::kenwardRoger ? "Kenward–Roger" : "Satterthwaite") +
                " degrees of freedom. ";
    }
    if (!findings.timeCourses.empty() && findings.timeCourses.front().fit.absentBecause.empty()) {
        text += "The time course was modelled with food, time and their interaction (" +
                findings.timeCourses.front().value + " at each time). ";
    }
    if (!findings.crossovers.empty()) {
        text +=
            "Food, period and carry-over were tested as in a two-period crossover; the analysis was not "
            "chosen by the carry-over test. ";
    }
    if (!findings.companions.comparisons.empty() && plan.resamples > 0) {
        text += "Bootstrap intervals rest on " + std::to_string(plan.resamples) + " resamples (seed " +
                std::to_string(plan.seed) + "). ";
    }
    if (!findings.companions.margins.empty()) {
        text += "Equivalence was tested by two one-sided tests at " + plainNumber(plan.alpha) +
                " against margins named in the plan. ";
    }
    if (!findings.companions.nonInferiority.empty()) {
        text += "Non-inferiority was tested one-sided at " + plainNumber(plan.alpha / 2.0) +
                " against a margin named in the plan. ";
    }
    return text;
}

}  // namespace

std::string marginSentence(const Study& study, const Plan& plan, const MarginFinding& finding) {
    const Equivalence& e = finding.result;
    const std::string begin = labelOf(study, finding.food) + " against " +
                              labelOf(study, finding.comparator) + ", " + labelOfMeasure(finding.measure) +
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
                              labelOf(study, finding.comparator) + ", " + labelOfMeasure(finding.measure) +
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
    const Plan& plan = findings.plan;
    std::string text = "The window ran from 0 to " + plainNumber(plan.windowEndMin) + " min. Baseline was ";
    text += plan.baseline == BaselineRule::fastingMean ? "the mean of all values at or before 0 min. "
                                                       : "the value at 0 min alone. ";
    text += "Areas were computed by linear trapezoids; the main measure was " + labelOfMeasure(plan.measure) +
            " (";
    const auto measure = measureIndex(plan.measure);
    std::string definition{measure ? measureList()[*measure].definition : std::string_view{}};
    text += definition + "). ";
    text += plan.missingInterior == MissingInteriorRule::span
                ? "Where a value inside the window was missing the trapezoid spanned the gap. "
                : "Curves with a missing value inside the window were left out. ";
    const auto excluded = static_cast<std::size_t>(std::count_if(
        findings.curves.begin(), findings.curves.end(), [](const auto& c) { return c.excluded; }));
    const auto notEstimable =
        static_cast<std::size_t>(std::count_if(findings.curves.begin(), findings.curves.end(),
                                               [](const auto& c) { return !c.notEstimable.empty(); }));
    text += "Of " + std::to_string(findings.curves.size()) + " curves, " + std::to_string(excluded) +
            " were excluded with a recorded reason and " + std::to_string(notEstimable) +
            " could not be estimated. ";
    if (!findings.comparisons.empty()) {
        text += "Replicate visits were averaged at the measure. Each food was compared with " +
                labelOf(study, plan.comparator) + " by the paired t test (two-sided, level " +
                plainNumber(plan.alpha) +
                ") with the Wilcoxon signed rank test and the Hodges–Lehmann estimate beside it";
        text += plan.multiplicity == Multiplicity::none
                    ? std::string{"; p was not adjusted for several foods. "}
                    : "; p was adjusted over the foods by the method of " +
                          adjustmentLabel(plan.multiplicity) + " within each analyte and measure. ";
    }
    text += furtherMethods(findings);
    if (!findings.index.empty()) {
        text +=
            "The index of a subject is 100 times the measure of the food over the mean of the reference "
            "visits; "
            "the food's index is the mean over subjects. ";
    }
    text +=
        "Computed with Aftercurve " + std::string{versionText()} + " (" + std::string{revisionText()} + ").";
    return text;
}

}  // namespace aftercurve
