#include "core/findings/figure_captions.h"

#include <algorithm>
#include <array>
#include <optional>
#include <set>
#include <vector>

#include "core/base/number_text.h"
#include "core/findings/adjusted_p.h"
#include "core/findings/caption_parts.h"
#include "core/findings/laboratory_words.h"
#include "core/findings/rounded_words.h"
#include "core/findings/sentence.h"
#include "core/findings/tolerance_words.h"

namespace aftercurve {

namespace {

std::string curvesSubjects(const Study& study, const Findings& findings, const PanelSpec& panel) {
    std::set<std::string> subjects;
    std::set<std::string> notCounted;
    for (const CurveFinding& curve : findings.curves) {
        if (curve.analyte == analyteOf(study, panel) && shows(panel.food, curve.food) &&
            shows(panel.subject, curve.subject)) {
            subjects.insert(curve.subject);
            if (!curve.counts()) {
                notCounted.insert(curve.subject);
            }
        }
    }
    std::string text = upper(analyteOf(study, panel)) + " concentration" + unitWords(study, panel) +
                       " over time after the first bite, " + afterFood(study, panel) + ", a panel " +
                       (panel.subject.empty() ? "for each subject" : "for subject " + panel.subject) + " (" +
                       countedWords(subjects.size(), "subject") + ").";
    if (!notCounted.empty()) {
        text += " Dashed grey: curves that were excluded or could not be estimated.";
    }
    return text;
}

std::string curvesMean(const Study& study, const Findings& findings, const PanelSpec& panel) {
    std::size_t least = 0;
    std::size_t most = 0;
    for (const MeanCurve& curve : findings.meanCurves) {
        if (curve.analyte == analyteOf(study, panel) && shows(panel.food, curve.food)) {
            for (const std::size_t n : curve.n) {
                least = most == 0 ? n : std::min(least, n);
                most = std::max(most, n);
            }
        }
    }
    return "Mean " + analyteOf(study, panel) + " concentration" + unitWords(study, panel) +
           " over time after the first bite, " + afterFood(study, panel) + " (" + countRange(least, most) +
           "; repeated visits of a subject averaged first). Points are means; bars are ± " +
           spreadWords(panel.frame.spread, findings.plan.alpha) + ". Shaded: the window from 0 to " +
           plainNumber(findings.plan.windowEndMin) + " min.";
}

std::string curvesIncrement(const Study& study, const Findings& findings, const PanelSpec& panel) {
    return "What the " + measureOf(findings, panel) + " of " + analyteOf(study, panel) + " counts, " +
           (panel.subject.empty() ? "on the mean curve of each food"
                                  : "on the curves of subject " + panel.subject) +
           ". Line at the baseline (" +
           (findings.plan.baseline == BaselineRule::fastingMean ? "mean of the values at or before 0 min"
                                                                : "value at 0 min") +
           "); shaded: what the measure counts in the window from 0 to " +
           plainNumber(findings.plan.windowEndMin) + " min.";
}

std::string comparisonPaired(const Study& study, const Findings& findings, const PanelSpec& panel) {
    for (const ComparisonFinding& c : findings.comparisons) {
        if (c.analyte == analyteOf(study, panel) && c.measure == measureKeyOf(findings, panel) &&
            shows(panel.food, c.food) && !c.pairs.empty()) {
            return upper(measureInWords(c.measure)) + " of " + c.analyte + " (" + c.unit +
                   ") in each subject after " + labelOf(study, c.comparator) + " and " +
                   labelOf(study, c.food) + ", and the differences (n = " + std::to_string(c.pairs.size()) +
                   "). Lines join the values of one subject; short bars are means. Difference with " +
                   intervalName(findings.plan.alpha) + " by the paired t test" +
                   adjustmentWords(findings.plan) + ".";
        }
    }
    return noNumbers("comparison");
}

std::string agreementCaption(const Study& study, const Findings& findings, const PanelSpec& panel) {
    for (const AgreementFinding& a : findings.agreement) {
        if (a.analyte == analyteOf(study, panel) && a.measure == measureKeyOf(findings, panel) &&
            shows(panel.food, a.food) && !a.points.empty()) {
            return upper(measureInWords(a.measure)) + " of " + a.analyte + " (" + a.unit + "): difference " +
                   labelOf(study, a.food) + " minus " + labelOf(study, a.comparator) +
                   " over the mean of the two, a point for each subject (n = " +
                   std::to_string(a.points.size()) + "). Lines are the mean difference and the limits of " +
                   "agreement, mean ± 1.96 SD, with " + intervalName(findings.plan.alpha) + ".";
        }
    }
    return noNumbers("comparison");
}

std::string comparisonEstimates(const Study& study, const Findings& findings, const PanelSpec& panel) {
    const CountSpan n = pairCounts(study, findings, panel);
    return "Mean differences in " + measureOf(findings, panel) + " of " + analyteOf(study, panel) + " from " +
           comparatorName(study, findings.plan.comparator) + ", food minus comparator (" +
           countRange(n.least, n.most) + "). Bars are " + intervalName(findings.plan.alpha) +
           "; p by the paired t test" + adjustmentWords(findings.plan) + ".";
}

const ModelFinding* modelOf(const Study& study, const Findings& findings, const PanelSpec& panel) {
    for (const ModelFinding& model : findings.models) {
        if (model.analyte == analyteOf(study, panel) && model.measure == measureKeyOf(findings, panel)) {
            return &model;
        }
    }
    return nullptr;
}

std::string modelDifferences(const Study& study, const Findings& findings, const PanelSpec& panel) {
    const ModelFinding* model = modelOf(study, findings, panel);
    if (model == nullptr) {
        return noNumbers("mixed model");
    }
    const bool simultaneous =
        std::any_of(model->family.comparisons.begin(), model->family.comparisons.end(),
                    [](const ModelComparison& comparison) { return comparison.ciLow.has_value(); }) &&
        model->family.adjustment != ModelAdjustment::none;
    return "Differences of the means of the mixed model (" + model->formula + ", REML; " +
           countedWords(model->fit.subjects, "subject") + ", " + countedWords(model->fit.rows, "value") +
           ") in " + measureOf(findings, panel) + " of " + model->analyte + ". Bars are " +
           intervalName(findings.plan.alpha) + (simultaneous ? " that hold together" : ", each by itself") +
           (model->family.adjustment == ModelAdjustment::none
                ? "; p not adjusted."
                : "; p adjusted by " + adjustmentLabel(model->family.adjustment) + ".");
}

std::string modelResiduals(const Study& study, const Findings& findings, const PanelSpec& panel) {
    const ModelFinding* model = modelOf(study, findings, panel);
    if (model == nullptr) {
        return noNumbers("mixed model");
    }
    return "Residuals of the mixed model of " + measureOf(findings, panel) + " of " + model->analyte +
           " over fitted values, and over normal quantiles (" + countedWords(model->fit.rows, "value") +
           " of " + countedWords(model->fit.subjects, "subject") +
           "). A fan or a bend speaks of a variance or a mean that the model misses.";
}

std::string timeCourseWords(const Study& study, const Findings& findings, const PanelSpec& panel) {
    for (const TimeCourseFinding& finding : findings.timeCourses) {
        if (finding.analyte == analyteOf(study, panel)) {
            return "Differences in the " + finding.value + " of " + finding.analyte + " (" + finding.unit +
                   ") from " + comparatorName(study, finding.comparator) +
                   " at each time, by the model of the time course (" +
                   countedWords(finding.fit.subjects, "subject") + "). Bars are " +
                   intervalName(findings.plan.alpha) + ", not adjusted; full marks: p below " +
                   plainNumber(findings.plan.alpha) +
                   (findings.plan.multiplicity == Multiplicity::none
                        ? ", not adjusted."
                        : ", adjusted by " + adjustmentLabel(findings.plan.multiplicity) +
                              " over the times of one food.");
        }
    }
    return noNumbers("time course");
}

std::string marginsOn(const Study& study, const Findings& findings, const PanelSpec& panel, bool ratio) {
    std::optional<CountSpan> n;
    const auto take = [&n](std::size_t count) {
        n = n ? CountSpan{std::min(n->least, count), std::max(n->most, count)} : CountSpan{count, count};
    };
    for (const MarginFinding& m : findings.companions.margins) {
        if ((m.scale != MarginScale::meanDifference) == ratio && shows(panel.food, m.food)) {
            take(m.result.n);
        }
    }
    for (const NonInferiorityFinding& m : findings.companions.nonInferiority) {
        if (!ratio && shows(panel.food, m.food)) {
            take(m.result.n);
        }
    }
    if (!n) {
        return noNumbers("margin");
    }
    return std::string{ratio ? "Ratios" : "Mean differences"} + " of " + measureOf(findings, panel) +
           (ratio ? " to that of " : " from that of ") + comparatorName(study, findings.plan.comparator) +
           " against the margins of the plan, dotted (" + countRange(n->least, n->most) +
           "). Bars: " + confidencePercent(2.0 * findings.plan.alpha) +
           " % CI for equivalence (two one-sided tests at " + plainNumber(findings.plan.alpha) + ")" +
           (ratio ? "."
                  : ", " + intervalName(findings.plan.alpha) + " for non-inferiority (one-sided at " +
                        plainNumber(findings.plan.alpha / 2.0) + ").");
}

std::string marginDifferences(const Study& study, const Findings& findings, const PanelSpec& panel) {
    return marginsOn(study, findings, panel, false);
}

std::string marginRatios(const Study& study, const Findings& findings, const PanelSpec& panel) {
    return marginsOn(study, findings, panel, true);
}

std::string influenceWords(const Study& study, const Findings& findings, const PanelSpec& panel) {
    const CountSpan n = pairCounts(study, findings, panel);
    return "Mean difference in " + measureOf(findings, panel) + " of " + analyteOf(study, panel) +
           " with all subjects (" + countRange(n.least, n.most) +
           ") and without each of them in turn. Bars are " + intervalName(findings.plan.alpha) +
           " of the paired t test, not adjusted; coloured: the sign, or the side of p = " +
           plainNumber(findings.plan.alpha) + ", turns. Nobody is left out of the results for this.";
}

std::string normalQuantiles(const Study& study, const Findings& findings, const PanelSpec& panel) {
    const CountSpan n = pairCounts(study, findings, panel);
    return "Differences in " + measureOf(findings, panel) + " of " + analyteOf(study, panel) +
           " over standard normal quantiles (" + countRange(n.least, n.most) +
           "). Near normal differences lie along the line; large marks are flagged by their studentised "
           "residual.";
}

std::string sensitivityWords(const Study& study, const Findings& findings, const PanelSpec& panel) {
    return "The main comparison of " + analyteOf(study, panel) + " with " +
           comparatorName(study, findings.plan.comparator) +
           " as planned and with one choice altered at a time: mean difference in units of the standard "
           "deviation of the differences. Bars are " +
           intervalName(findings.plan.alpha) + "; p by the paired t test, not adjusted.";
}

constexpr std::array kinds{
    CaptionKind{"curves_subjects", curvesSubjects},
    CaptionKind{"curves_mean", curvesMean},
    CaptionKind{"curves_increment", curvesIncrement},
    CaptionKind{"comparison_paired", comparisonPaired},
    CaptionKind{"comparison_estimates", comparisonEstimates},
    CaptionKind{"agreement", agreementCaption},
    CaptionKind{"model_differences", modelDifferences},
    CaptionKind{"model_residuals", modelResiduals},
    CaptionKind{"time_course", timeCourseWords},
    CaptionKind{"margins", marginDifferences},
    CaptionKind{"margins_ratio", marginRatios},
    CaptionKind{"influence", influenceWords},
    CaptionKind{"normal_quantiles", normalQuantiles},
    CaptionKind{"sensitivity", sensitivityWords},
    CaptionKind{"index", indexCaption},
    CaptionKind{"index_ways", indexWaysCaption},
    CaptionKind{"index_pairs", indexPairsCaption},
    CaptionKind{"meals", mealsCaption},
    CaptionKind{"portions", portionsCaption},
    CaptionKind{"insulin_measures", insulinCaption},
    CaptionKind{"sub_windows", subWindowsCaption},
    CaptionKind{"within_subject", withinSubjectCaption},
    CaptionKind{"digestion_curves", digestionCurvesCaption},
    CaptionKind{"digestion_fractions", digestionFractionsCaption},
    CaptionKind{"fibre_bars", fibreBarsCaption},
    CaptionKind{"symptoms_diverging", symptomsDivergingCaption},
    CaptionKind{"symptoms_dose", symptomsDoseCaption},
    CaptionKind{"bridge", bridgeCaption},
    CaptionKind{"planning_power", planningCaption},
    CaptionKind{"flow", flowCaption},
};

/// The short forms that the text uses, spelt out.
std::string abbreviationsIn(const std::string& text) {
    constexpr std::array<std::pair<std::string_view, std::string_view>, 6> all{{
        {"CI", "confidence interval"},
        {"CV", "coefficient of variation"},
        {"REML", "restricted maximum likelihood"},
        {"SD", "standard deviation"},
        {"SEM", "standard error of the mean"},
        {"BCa", "bias corrected and accelerated"},
    }};
    const auto letter = [](char c) {
        return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
    };
    std::string words;
    for (const auto& [shortForm, meaning] : all) {
        for (std::size_t at = text.find(shortForm); at != std::string::npos;
             at = text.find(shortForm, at + 1)) {
            const std::size_t end = at + shortForm.size();
            if ((at == 0 || !letter(text[at - 1])) && (end == text.size() || !letter(text[end]))) {
                words += (words.empty() ? "" : "; ") + std::string{shortForm} + ", " + std::string{meaning};
                break;
            }
        }
    }
    return words.empty() ? words : " " + words + ".";
}

std::string letterOf(PanelLetters letters, std::size_t panel) {
    constexpr std::size_t alphabet = 26;
    if (letters == PanelLetters::none) {
        return {};
    }
    const std::string name =
        panel < alphabet ? std::string(1, static_cast<char>((letters == PanelLetters::capital ? 'A' : 'a') +
                                                            static_cast<int>(panel)))
                         : std::to_string(panel + 1);
    return "(" + name + ") ";
}

}  // namespace

std::span<const CaptionKind> captionKinds() {
    return kinds;
}

std::string captionOf(const Study& study, const Findings& findings, const FigureSpec& figure) {
    if (!figure.caption.empty()) {
        return figure.caption;
    }
    std::string text;
    for (std::size_t i = 0; i < figure.panels.size(); ++i) {
        const PanelSpec& panel = figure.panels[i];
        const auto kind = std::find_if(kinds.begin(), kinds.end(),
                                       [&panel](const CaptionKind& k) { return k.key == panel.kind; });
        std::string words = kind == kinds.end() ? panel.frame.title : kind->words(study, findings, panel);
        if (words.empty()) {
            continue;
        }
        if (!words.ends_with('.')) {
            words += '.';
        }
        text += (text.empty() ? "" : " ") +
                (figure.panels.size() > 1 ? letterOf(figure.letters, i) : std::string{}) + words;
    }
    text += abbreviationsIn(text);
    if (figure.title.empty()) {
        return text;
    }
    return figure.title + (figure.title.ends_with('.') ? "" : ".") + (text.empty() ? "" : " " + text);
}

}  // namespace aftercurve
