#include "core/findings/result_words.h"

#include <cmath>
#include <vector>

#include "core/base/number_text.h"
#include "core/curve/measures.h"
#include "core/findings/adjusted_p.h"
#include "core/findings/narrative.h"
#include "core/findings/rounded_words.h"

namespace aftercurve {

namespace {

std::string analyteMeasure(const std::string& analyte, const std::string& measure) {
    return analyte + " " + measureInWords(measure);
}

/// "95 % CI −0.30 to 0.10", with a comma before it; empty where an end is absent.
std::string commaInterval(const std::optional<double>& low, const std::optional<double>& high, double alpha) {
    return low && high ? ", " + intervalWords(*low, *high, alpha) : std::string{};
}

std::string minutesList(const std::vector<double>& times) {
    std::vector<std::string> words;
    words.reserve(times.size());
    for (const double time : times) {
        words.push_back(plainNumber(time));
    }
    return listedWords(words) + " min";
}

/// "food F(2, 18.4) = 5.31, p = 0.015".
std::string termText(const std::string& term, std::size_t df, const std::optional<double>& below,
                     const std::optional<double>& f, const std::optional<double>& p,
                     const std::string& because) {
    if (!f || !p || !below) {
        return term + " not tested (" + because + ")";
    }
    return term + " F(" + std::to_string(df) + ", " + dfText(*below) + ") = " + roundedText(*f) + ", " +
           pText(*p);
}

}  // namespace

std::string notToldApart(double alpha) {
    return " At the " + plainNumber(alpha) +
           " level this does not tell the foods apart; it is not evidence that they are alike.";
}

std::string summarySentence(const Study& study, std::span<const FoodSummary> summaries) {
    std::vector<std::string> foods;
    std::string what;
    for (const FoodSummary& s : summaries) {
        if (!s.mean) {
            continue;
        }
        const auto measure = measureIndex(s.measure);
        const auto analyte = findAnalyte(study, s.analyte);
        const std::string unit =
            measure && analyte ? unitOf(measureList()[*measure], study.analytes[*analyte].unit) : "";
        foods.push_back(roundedText(*s.mean) + (unit.empty() ? "" : " " + unit) + " (" +
                        (s.sd ? "SD " + roundedText(*s.sd) + ", " : "") + "n = " + std::to_string(s.n) +
                        ") after " + labelOf(study, s.food));
        what = analyteMeasure(s.analyte, s.measure);
    }
    return foods.empty() ? std::string{} : "Mean " + what + " was " + listedWords(foods) + ".";
}

std::string companionSentence(const Plan& plan, const ComparisonFinding& c,
                              const CompanionFinding* companion) {
    std::vector<std::string> parts;
    if (c.signedRank.p) {
        parts.push_back("Wilcoxon signed rank " + pText(*c.signedRank.p));
    }
    if (c.hodgesLehmann.estimate) {
        parts.push_back("Hodges–Lehmann estimate " + roundedText(*c.hodgesLehmann.estimate) + " " + c.unit +
                        commaInterval(c.hodgesLehmann.ciLow, c.hodgesLehmann.ciHigh, plan.alpha));
    }
    if (companion != nullptr) {
        if (companion->permutation.p) {
            parts.push_back("permutation test " + pText(*companion->permutation.p));
        }
        if (companion->bootstrap.bcaLow && companion->bootstrap.bcaHigh) {
            parts.push_back("bootstrap (BCa) " + intervalWords(*companion->bootstrap.bcaLow,
                                                               *companion->bootstrap.bcaHigh, plan.alpha));
        }
        if (companion->logRatio.ratio) {
            parts.push_back("ratio of geometric means " + roundedText(*companion->logRatio.ratio) +
                            commaInterval(companion->logRatio.ciLow, companion->logRatio.ciHigh, plan.alpha));
        }
    }
    if (parts.empty()) {
        return {};
    }
    std::string text = "The same pairs by other methods, not adjusted: ";
    for (std::size_t i = 0; i < parts.size(); ++i) {
        text += (i == 0 ? "" : "; ") + parts[i];
    }
    return text + ".";
}

std::string modelSentence(const ModelFinding& model) {
    const std::string what = analyteMeasure(model.analyte, model.measure);
    if (!model.fit.absentBecause.empty()) {
        return "No mixed model of " + what + " was fitted: " + model.fit.absentBecause + ".";
    }
    std::string text = "In the mixed model of " + what + ": ";
    for (std::size_t i = 0; i < model.fit.terms.size(); ++i) {
        const ModelTerm& term = model.fit.terms[i];
        text += (i == 0 ? "" : "; ") + termText(term.factor, term.numeratorDf, term.denominatorDf, term.f,
                                                term.p, term.absentBecause);
    }
    return text + ".";
}

std::string modelDifferenceSentence(const Study& study, const Plan& plan, const ModelFinding& model,
                                    std::size_t difference) {
    const ModelDifference& d = model.fit.differences[difference];
    const std::string foods =
        labelOf(study, model.foods[d.level]) + " minus " + labelOf(study, model.foods[d.minus]);
    const std::string what = analyteMeasure(model.analyte, model.measure);
    if (!d.estimate) {
        return "By the mixed model " + foods + " of " + what + " could not be estimated: " + d.absentBecause +
               ".";
    }
    std::string text =
        "By the mixed model " + foods + " of " + what + " was " + roundedText(*d.estimate) + " " + model.unit;
    if (!d.p || !d.t || !d.df) {
        return text + "; it could not be tested: " + d.absentBecause + ".";
    }
    const std::optional<double>& adjusted = model.pAdjusted[difference];
    text += " (" + (d.ciLow && d.ciHigh ? intervalWords(*d.ciLow, *d.ciHigh, plan.alpha) + "; " : "") + "t(" +
            dfText(*d.df) + ") = " + roundedText(*d.t) + ", " + pText(*d.p);
    if (adjusted && *adjusted != *d.p) {
        text += ", adjusted by " + adjustmentLabel(model.family.adjustment) + " " + pText(*adjusted);
    }
    return text + ")." + (adjusted.value_or(*d.p) < plan.alpha ? "" : notToldApart(plan.alpha));
}

std::string crossoverSentence(const Study& study, const Plan& plan, const CrossoverFinding& finding) {
    const Crossover& c = finding.result;
    const std::string what = analyteMeasure(finding.analyte, finding.measure);
    const std::string foods = labelOf(study, finding.food) + " minus " + labelOf(study, finding.comparator);
    const CrossoverEffect& food = c.treatment;
    if (!food.estimate) {
        return "The two-period tests of " + what + " were not possible: " + food.absentBecause + ".";
    }
    std::string text = "In the two-period crossover, with " + std::to_string(c.subjectsAb) + " and " +
                       std::to_string(c.subjectsBa) + " subjects in the two sequences, " + foods + " of " +
                       what + " was " + roundedText(*food.estimate) + " " + finding.unit;
    if (!food.p || !food.t || !food.df) {
        return text + "; it could not be tested: " + food.absentBecause + ".";
    }
    text += " (" +
            (food.ciLow && food.ciHigh ? intervalWords(*food.ciLow, *food.ciHigh, plan.alpha) + "; "
                                       : std::string{}) +
            "t(" + dfText(*food.df) + ") = " + roundedText(*food.t) + ", " + pText(*food.p) + ")";
    if (c.period.estimate && c.period.p) {
        text += "; period 1 minus period 2 was " + roundedText(*c.period.estimate) + " " + finding.unit +
                " (" + pText(*c.period.p) + ")";
    }
    if (c.carryOver.p) {
        text += "; the test of carry-over, which has little power and did not choose the analysis, gave " +
                pText(*c.carryOver.p);
    }
    return text + "." + (*food.p < plan.alpha ? "" : notToldApart(plan.alpha));
}

std::string timeCourseSentence(const TimeCourseFinding& finding) {
    if (!finding.fit.absentBecause.empty()) {
        return "The time course of " + finding.analyte + " was not modelled: " + finding.fit.absentBecause +
               ".";
    }
    std::string text = "Over the time course of " + finding.analyte + " (" + finding.value + "): ";
    for (std::size_t i = 0; i < finding.fit.terms.size(); ++i) {
        const TimeCourseTerm& term = finding.fit.terms[i];
        const std::string name = term.term == "food x time" ? "food × time" : term.term;
        text += (i == 0 ? "" : "; ") +
                termText(name, term.numeratorDf, term.denominatorDf, term.f, term.p, term.absentBecause);
    }
    return text + ".";
}

std::string timesSentence(const Study& study, const Plan& plan, const TimeCourseFinding& finding,
                          std::size_t food) {
    const TimeCourseDifference* largest = nullptr;
    std::vector<double> told;
    std::vector<double> notTold;
    for (const TimeCourseDifference& d : finding.fit.differences) {
        if (d.food != food || !d.estimate || !d.p) {
            continue;
        }
        (d.pAdjusted.value_or(*d.p) < plan.alpha ? told : notTold).push_back(finding.timesMin[d.time]);
        if (largest == nullptr || std::abs(*d.estimate) > std::abs(*largest->estimate)) {
            largest = &d;
        }
    }
    if (largest == nullptr) {
        return {};
    }
    const std::string foods = labelOf(study, finding.foods[food]) + " minus " +
                              labelOf(study, finding.foods[largest->minus]) + ", " + finding.analyte + ": ";
    std::string text = foods + "the largest difference by the model was " + roundedText(*largest->estimate) +
                       " " + finding.unit + " at " + plainNumber(finding.timesMin[largest->time]) + " min (" +
                       (largest->ciLow && largest->ciHigh
                            ? intervalWords(*largest->ciLow, *largest->ciHigh, plan.alpha) + "; "
                            : std::string{}) +
                       pText(*largest->p) +
                       (largest->pAdjusted && *largest->pAdjusted != *largest->p
                            ? ", " + adjustmentLabel(plan.multiplicity) + "-adjusted over times " +
                                  pText(*largest->pAdjusted)
                            : std::string{}) +
                       ").";
    if (!told.empty()) {
        text += " The foods are told apart at " + minutesList(told) + ".";
    }
    if (!notTold.empty()) {
        text += " They are not told apart at " + minutesList(notTold) +
                ", which is not evidence that they are alike there.";
    }
    return text;
}

std::string ranksSentence(const RankFinding& finding) {
    const Friedman& f = finding.friedman;
    const std::string what = analyteMeasure(finding.analyte, finding.measure);
    if (!f.chiSquare || !f.df || !f.p) {
        return "Friedman's test of " + what +
               " was not possible: " + (f.absentBecause.empty() ? "there is no p" : f.absentBecause) + ".";
    }
    return "By ranks of " + what + " within " + countedWords(f.subjects, "subject") +
           ", all foods together: Friedman χ²(" + dfText(*f.df) + ") = " + roundedText(*f.chiSquare) + ", " +
           pText(*f.p) + (f.method == "exact" ? " (exact)" : "") + ".";
}

std::string withoutExclusionsSentence(const Study& study, const ComparisonFinding& with,
                                      const ComparisonFinding& without) {
    if (!with.t.meanDifference || !without.t.meanDifference) {
        return {};
    }
    const auto side = [&with](const PairedT& t) {
        return roundedText(*t.meanDifference) + " " + with.unit + " (n = " + std::to_string(t.n) +
               (t.p ? ", " + pText(*t.p) + " not adjusted" : std::string{}) + ")";
    };
    return "With no exclusion applied, " + labelOf(study, with.food) + " minus " +
           labelOf(study, with.comparator) + " of " + analyteMeasure(with.analyte, with.measure) + " was " +
           side(without.t) + "; with the exclusions it was " + side(with.t) + ".";
}

std::string withoutExclusionsSentence(const Study& study, const IndexFinding& with,
                                      const IndexFinding& without) {
    if (!with.index.mean || !without.index.mean) {
        return {};
    }
    const auto side = [](const FoodIndex& index) {
        return fixedText(*index.mean, 1) + " (n = " + std::to_string(index.n) + ")";
    };
    return "With no exclusion applied, the " + with.analyte + " index of " + labelOf(study, with.food) +
           " was " + side(without.index) + "; with the exclusions it was " + side(with.index) + ".";
}

std::string withoutExclusionsSentence(const LaboratoryEffect& effect) {
    const auto side = [&effect](const std::optional<double>& value, std::size_t n) {
        return (value ? roundedText(*value) + (effect.unit.empty() ? "" : " " + effect.unit)
                      : std::string{"not known"}) +
               " (n = " + std::to_string(n) + ")";
    };
    return "With no exclusion applied, " + lowered(effect.quantity) + " of " + effect.of +
           (effect.method.empty() ? "" : " by " + effect.method) + " was " +
           side(effect.valueIgnoring, effect.nIgnoring) + "; with the exclusions it was " +
           side(effect.value, effect.n) + ".";
}

std::string flowSentence(const Study& study, const FlowStage& stage) {
    if (stage.absent == 0 && stage.losses.empty()) {
        return {};
    }
    std::string place = labelOf(study, stage.food);
    if (!stage.sequence.empty() || stage.period > 0) {
        place += " (" + (stage.sequence.empty() ? std::string{} : "sequence " + stage.sequence) +
                 (!stage.sequence.empty() && stage.period > 0 ? ", " : "") +
                 (stage.period > 0 ? "period " + std::to_string(stage.period) : std::string{}) + ")";
    }
    std::string text = place + ": " + countedWords(stage.came, "subject") + " came";
    if (stage.absent > 0) {
        text += ", " + std::to_string(stage.absent) + " did not";
    }
    text +=
        ", " + std::to_string(stage.analysed) + (stage.analysed == 1 ? " was analysed" : " were analysed");
    for (std::size_t i = 0; i < stage.losses.size(); ++i) {
        const FlowLoss& loss = stage.losses[i];
        text += (i == 0 ? "; did not count: " : "; ") + countedWords(loss.visits, "visit") + " (" +
                loss.reason + ")";
    }
    return text + ".";
}

}  // namespace aftercurve
