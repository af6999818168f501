#include "core/findings/tolerance_words.h"

#include <algorithm>

#include "core/base/number_text.h"
#include "core/findings/adjusted_p.h"
#include "core/findings/narrative.h"
#include "core/findings/rounded_words.h"
#include "core/findings/tolerance_findings.h"
#include "core/findings/tolerance_ordinal.h"

namespace aftercurve {

namespace {

/// The composite where there is one, else every scored item.
bool isSpokenOf(const ToleranceFindings& tolerance, std::size_t quantity) {
    const auto isComposite = [](const DiaryQuantity& one) {
        return one.kind == DiaryQuantityKind::composite;
    };
    const auto& quantities = tolerance.quantities;
    return std::any_of(quantities.begin(), quantities.end(), isComposite)
               ? isComposite(quantities[quantity])
               : quantities[quantity].kind == DiaryQuantityKind::item;
}

std::string percentText(double share) {
    return fixedNumber(100.0 * share, 0) + " %";
}

std::string testSentence(const Study& study, const Plan& plan, const ToleranceFindings& tolerance,
                         const ToleranceTest& test) {
    const std::string food = armLabel(study, tolerance.runs.arms[test.arm]);
    const std::string comparator = armLabel(study, tolerance.runs.arms[test.comparator]);
    const std::string begin =
        tolerance.quantities[test.quantity].label + ", worst day, " + food + " against " + comparator + ": ";
    if (test.n == 0) {
        return begin + "no subject has both.";
    }
    const PairedSuperiority& s = test.superiority;
    std::string text = begin + countedWords(s.higher, "subject") + " scored higher with the food, " +
                       std::to_string(s.equal) + " equal, " + std::to_string(s.lower) +
                       " lower (n = " + std::to_string(test.n) + ")";
    if (!test.signedRank.p) {
        return text + "; not tested: " + test.signedRank.absentBecause + ".";
    }
    if (test.hodgesLehmann.estimate && test.hodgesLehmann.ciLow && test.hodgesLehmann.ciHigh) {
        text += "; Hodges–Lehmann difference " + roundedText(*test.hodgesLehmann.estimate) + " (" +
                intervalWords(*test.hodgesLehmann.ciLow, *test.hodgesLehmann.ciHigh, plan.alpha) + ")";
    }
    text += "; signed rank " + pText(*test.signedRank.p);
    if (test.pAdjusted && *test.pAdjusted != *test.signedRank.p) {
        text += ", " + adjustmentLabel(plan.multiplicity) + "-adjusted " + pText(*test.pAdjusted);
    }
    if (test.pAdjusted.value_or(*test.signedRank.p) >= plan.alpha) {
        return text + ". At the " + plainNumber(plan.alpha) +
               " level this does not tell the two apart; it is not evidence that they are tolerated alike.";
    }
    return text + ".";
}

std::string oddsSentence(const Study& study, const Plan& plan, const ToleranceFindings& tolerance,
                         const ToleranceOrdinalModel& one, std::size_t group) {
    const std::string begin = tolerance.quantities[one.quantity].label + ", worst day, " +
                              armLabel(study, tolerance.runs.arms[one.arms[group]]) + " against " +
                              armLabel(study, tolerance.runs.arms[one.arms.front()]) +
                              ", odds ratio of a higher score";
    const OrdinalEffect* effect = effectOf(one, group);
    const auto odds = effect == nullptr ? std::nullopt : oddsOf(effect->logOdds);
    if (!odds || !effect->p) {
        return begin + ": none, " + effectAbsentBecause(one, group) + ".";
    }
    std::string text = begin + " " + roundedText(*odds);
    const auto low = oddsOf(effect->ciLow);
    const auto high = oddsOf(effect->ciHigh);
    if (low && high) {
        text += " (" + intervalWords(*low, *high, plan.alpha) + ")";
    }
    text += ", " + pText(*effect->p);
    const auto& adjusted = one.pAdjusted[group - 1];
    if (adjusted && *adjusted != *effect->p) {
        text += ", " + adjustmentLabel(plan.multiplicity) + "-adjusted " + pText(*adjusted);
    }
    text += " (n = " + std::to_string(effect->n) + " scores of it; " + std::to_string(one.model.n) +
            " scores of " + countedWords(one.model.subjects, "subject") + " in the model).";
    if (adjusted.value_or(*effect->p) >= plan.alpha) {
        text += " At the " + plainNumber(plan.alpha) +
                " level this does not tell the two apart; it is not evidence that they are tolerated alike.";
    }
    return text;
}

/// One sentence a row of the table tolerance_ordinal, then one of all foods and the assumption.
void addOdds(const Study& study, const Plan& plan, const ToleranceFindings& tolerance,
             std::vector<Sentence>& sentences) {
    std::size_t row = 0;
    for (const ToleranceOrdinalModel& one : tolerance.ordinalModels) {
        const bool spoken = isSpokenOf(tolerance, one.quantity);
        Sentence all;
        for (std::size_t group = 1; group < one.arms.size(); ++group, ++row) {
            if (spoken) {
                sentences.push_back(
                    {oddsSentence(study, plan, tolerance, one, group), {{"tolerance_ordinal", row}}});
                all.sources.push_back({"tolerance_ordinal", row});
            }
        }
        if (!spoken || !one.model.usable()) {
            continue;
        }
        if (one.model.likelihoodRatio && one.model.p) {
            all.text = tolerance.quantities[one.quantity].label +
                       ", worst day, all foods and doses together: likelihood ratio χ² = " +
                       roundedText(*one.model.likelihoodRatio) + ", df = " + dfText(one.model.df) + ", " +
                       pText(*one.model.p) + ". ";
        }
        all.text += proportionalOddsCaution;
        sentences.push_back(std::move(all));
    }
}

std::string incidenceSentence(const Study& study, const Plan& plan, const ToleranceFindings& tolerance,
                              const ToleranceIncidence& one) {
    std::string text = tolerance.quantities[one.quantity].label + ", any on one day or more, " +
                       armLabel(study, tolerance.runs.arms[one.arm]) + ": " + std::to_string(one.share.yes) +
                       " of " + countedWords(one.share.n, "subject");
    if (one.share.share && one.share.ciLow && one.share.ciHigh) {
        text += " (" + percentText(*one.share.share) + "; exact " + confidencePercent(plan.alpha) + " % CI " +
                fixedNumber(100.0 * *one.share.ciLow, 0) + " to " + percentText(*one.share.ciHigh) + ")";
    }
    if (one.tested && one.test.p) {
        text += "; against the comparator " + std::to_string(one.test.pairs.foodOnly) +
                " with the food only and " + std::to_string(one.test.pairs.comparatorOnly) +
                " with the comparator only, McNemar exact " + pText(*one.test.p);
    } else if (one.tested) {
        text += "; not tested: " + one.test.absentBecause;
    }
    return text + ".";
}

void addMissing(const ToleranceFindings& tolerance, std::vector<Sentence>& sentences) {
    std::size_t missing = 0;
    std::size_t planned = 0;
    Sentence sentence;
    for (const DiaryRun& run : tolerance.runs.runs) {
        missing += run.missing.size();
        planned += run.planned();
        if (!run.missing.empty()) {
            sentence.sources.push_back({"diary_missing", sentence.sources.size()});
        }
    }
    if (planned == 0) {
        return;
    }
    sentence.text = "Of " + std::to_string(planned) + " planned diary days, " +
                    std::to_string(planned - missing) + " have an entry and " + std::to_string(missing) +
                    " have none; none was filled in.";
    sentences.push_back(std::move(sentence));
}

void addEvents(const Study& study, const ToleranceFindings& tolerance, std::vector<Sentence>& sentences) {
    if (tolerance.events.empty()) {
        return;
    }
    Sentence sentence;
    std::string list;
    for (std::size_t i = 0; i < tolerance.eventCounts.size(); ++i) {
        const AdverseEventCount& count = tolerance.eventCounts[i];
        list += (list.empty() ? "" : "; ") +
                (count.food.empty() ? "no food named" : labelOf(study, count.food)) + ": " +
                std::to_string(count.events) + " " +
                (count.severity.empty() ? "of no stated severity" : count.severity) + " in " +
                countedWords(count.subjects, "subject") +
                (count.serious > 0 ? ", " + std::to_string(count.serious) + " serious" : std::string{});
        sentence.sources.push_back({"adverse_event_counts", i});
    }
    sentence.text = countedWords(tolerance.events.size(), "adverse event") + " on record (" + list +
                    "). The counts claim no cause; the judgement is that of the physician of the study.";
    sentences.push_back(std::move(sentence));
}

}  // namespace

std::vector<Sentence> toleranceMethods(const Study& study, const Findings& findings) {
    const ToleranceFindings& tolerance = findings.tolerance;
    std::vector<Sentence> sentences;
    if (tolerance.runs.runs.empty()) {
        return sentences;
    }
    std::string items;
    for (const DiaryItem& item : study.diary.items) {
        items += (items.empty() ? "" : ", ") + item.label + " (" + std::to_string(item.least) + " to " +
                 std::to_string(item.most) + ")";
    }
    std::string text = "Subjects kept a diary of each day";
    text += items.empty() ? std::string{". "} : ", scoring " + items + ". ";
    text +=
        "The worst day, the mean and the area by linear trapezoids over the days were found for each subject";
    text +=
        study.diary.prorate
            ? "; the composite is the sum of its items, scaled up where half of them or more were scored. "
            : "; the composite is the sum of its items, and absent on a day where one is missing. ";
    text += "No missing day was filled in.";
    sentences.push_back({std::move(text), {}});
    if (!tolerance.tests.empty()) {
        sentences.push_back(
            {"Each food and dose was compared with " + labelOf(study, tolerance.comparator) +
                 " by the Wilcoxon signed rank test (exact up to 50 differences) with the sign test, the "
                 "Hodges–Lehmann estimate and the paired probability of a higher score beside it, and shares "
                 "of "
                 "subjects by McNemar's exact test" +
                 (findings.plan.multiplicity == Multiplicity::none
                      ? std::string{"; p was not adjusted."}
                      : "; p was adjusted by the method of " + adjustmentLabel(findings.plan.multiplicity) +
                            " over the foods and doses within each item and measure."),
             {}});
    }
    if (!tolerance.doseTests.empty()) {
        sentences.push_back({"Doses of one food were compared by Friedman's test.", {}});
    }
    if (!tolerance.ordinalModels.empty()) {
        sentences.push_back(
            {"The worst scores of all foods and doses were fitted by a proportional odds model with a random "
             "intercept of the subject (maximum likelihood, adaptive Gauss–Hermite quadrature with 21 points "
             "a "
             "subject); odds ratios have Wald intervals, and all foods and doses together a likelihood ratio "
             "test. " +
                 std::string{proportionalOddsCaution},
             {}});
    }
    return sentences;
}

std::vector<Sentence> toleranceResults(const Study& study, const Findings& findings) {
    const ToleranceFindings& tolerance = findings.tolerance;
    std::vector<Sentence> sentences;
    for (std::size_t i = 0; i < tolerance.tests.size(); ++i) {
        const ToleranceTest& test = tolerance.tests[i];
        if (test.measure == DiaryMeasure::worst && isSpokenOf(tolerance, test.quantity)) {
            sentences.push_back(
                {testSentence(study, findings.plan, tolerance, test), {{"tolerance_tests", i}}});
        }
    }
    addOdds(study, findings.plan, tolerance, sentences);
    for (std::size_t i = 0; i < tolerance.incidence.size(); ++i) {
        const ToleranceIncidence& one = tolerance.incidence[i];
        if (one.criterion == IncidenceCriterion::any && isSpokenOf(tolerance, one.quantity)) {
            sentences.push_back(
                {incidenceSentence(study, findings.plan, tolerance, one), {{"tolerance_incidence", i}}});
        }
    }
    addMissing(tolerance, sentences);
    addEvents(study, tolerance, sentences);
    return sentences;
}

std::vector<Sentence> bridgeResults(const Findings& findings) {
    std::vector<Sentence> sentences;
    for (std::size_t i = 0; i < findings.bridge.pairs.size(); ++i) {
        sentences.push_back(
            {permitsSentence(findings.bridge.pairs[i], findings.plan.alpha), {{"bridge", i}}});
    }
    return sentences;
}

}  // namespace aftercurve
