#include "core/findings/caption_parts.h"

#include <algorithm>
#include <set>

#include "core/base/number_text.h"
#include "core/findings/adjusted_p.h"
#include "core/findings/rounded_words.h"
#include "core/index/index_standards.h"
#include "core/index/insulin_measures.h"

namespace aftercurve {

std::string analyteOf(const Study& study, const PanelSpec& panel) {
    if (!panel.analyte.empty()) {
        return panel.analyte;
    }
    return study.analytes.empty() ? std::string{"analyte"} : study.analytes.front().id;
}

std::string measureKeyOf(const Findings& findings, const PanelSpec& panel) {
    return panel.measure.empty() ? findings.plan.measure : panel.measure;
}

std::string measureOf(const Findings& findings, const PanelSpec& panel) {
    return measureInWords(measureKeyOf(findings, panel));
}

bool shows(const std::string& choice, const std::string& thing) {
    return choice.empty() || choice == thing;
}

std::string comparatorName(const Study& study, const std::string& food) {
    return food.empty() ? "the comparator" : labelOf(study, food);
}

std::string unitWords(const Study& study, const PanelSpec& panel) {
    const auto analyte = findAnalyte(study, analyteOf(study, panel));
    const std::string unit = !panel.frame.unit.empty() ? panel.frame.unit
                             : analyte                 ? study.analytes[*analyte].unit
                                                       : std::string{};
    return unit.empty() ? unit : " (" + unit + ")";
}

std::string afterFood(const Study& study, const PanelSpec& panel) {
    return panel.food.empty() ? "after each food" : "after " + labelOf(study, panel.food);
}

std::string upper(std::string text) {
    if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') {
        text[0] = static_cast<char>(text[0] - 'a' + 'A');
    }
    return text;
}

std::string countRange(std::size_t least, std::size_t most) {
    return "n = " + std::to_string(least) + (least == most ? "" : " to " + std::to_string(most));
}

std::string intervalName(double alpha) {
    return confidencePercent(alpha) + " % CI";
}

std::string spreadWords(FigureSpread spread, double alpha) {
    switch (spread) {
        case FigureSpread::standardError:
            return "SEM";
        case FigureSpread::standardDeviation:
            return "SD";
        case FigureSpread::confidenceInterval:
            break;
    }
    return "the half-width of the " + intervalName(alpha);
}

std::string adjustmentWords(const Plan& plan) {
    return plan.multiplicity == Multiplicity::none
               ? ", not adjusted"
               : ", adjusted by " + adjustmentLabel(plan.multiplicity) + " over the foods";
}

std::string noNumbers(const std::string& what) {
    return "There is no " + what + " to show.";
}

CountSpan pairCounts(const Study& study, const Findings& findings, const PanelSpec& panel) {
    CountSpan n;
    bool any = false;
    for (const ComparisonFinding& c : findings.comparisons) {
        if (c.analyte == analyteOf(study, panel) && c.measure == measureKeyOf(findings, panel) &&
            shows(panel.food, c.food)) {
            n.least = any ? std::min(n.least, c.pairs.size()) : c.pairs.size();
            n.most = std::max(n.most, c.pairs.size());
            any = true;
        }
    }
    return n;
}

namespace {

CountSpan indexCounts(const Study& study, const Findings& findings, const PanelSpec& panel) {
    CountSpan n;
    bool any = false;
    for (const IndexFinding& f : findings.index) {
        if (f.analyte == analyteOf(study, panel) && shows(panel.food, f.food)) {
            n.least = any ? std::min(n.least, f.index.n) : f.index.n;
            n.most = std::max(n.most, f.index.n);
            any = true;
        }
    }
    return n;
}

std::string referenceOf(const Study& study, const Findings& findings) {
    return findings.index.empty() ? std::string{"the reference food"}
                                  : labelOf(study, findings.index.front().reference);
}

}  // namespace

std::string indexCaption(const Study& study, const Findings& findings, const PanelSpec& panel) {
    const CountSpan n = indexCounts(study, findings, panel);
    std::string text = "Index of " + analyteOf(study, panel) + " of each food against " +
                       referenceOf(study, findings) + " = 100, dashed (" + countRange(n.least, n.most) +
                       "). Small marks are subjects; large marks are means with " +
                       intervalName(findings.plan.alpha) + " by t.";
    const auto& all = findings.index;
    if (std::any_of(all.begin(), all.end(), [](const IndexFinding& f) { return f.indexClass.has_value(); })) {
        text +=
            " Grey bands: classes of " + std::string{rulesOf(findings.plan.indexPlan.standard).title} + ".";
    }
    const bool leftOut = std::any_of(all.begin(), all.end(), [](const IndexFinding& f) {
        return std::any_of(f.index.subjects.begin(), f.index.subjects.end(),
                           [](const SubjectIndex& s) { return s.value && s.leftOut; });
    });
    return leftOut ? text + " Crosses: left out by the outlier rule." : text;
}

std::string indexWaysCaption(const Study& study, const Findings& findings, const PanelSpec& panel) {
    const CountSpan n = indexCounts(study, findings, panel);
    return "Index of " + analyteOf(study, panel) +
           (panel.food.empty() ? "" : " of " + labelOf(study, panel.food)) + " found in several ways (" +
           countRange(n.least, n.most) + "). Bars are " + intervalName(findings.plan.alpha) +
           " by t, Fieller, order statistics or bootstrap (BCa), as " +
           "named; dashed: " + referenceOf(study, findings) +
           " = 100. The plan's index is the mean of ratios.";
}

std::string indexPairsCaption(const Study& study, const Findings& findings, const PanelSpec& panel) {
    CountSpan n;
    bool any = false;
    for (const IndexPair& pair : findings.indexPairs) {
        if (pair.analyte == analyteOf(study, panel) && shows(panel.food, pair.food)) {
            n.least = any ? std::min(n.least, pair.t.n) : pair.t.n;
            n.most = std::max(n.most, pair.t.n);
            any = true;
        }
    }
    return "Mean differences of the index of " + analyteOf(study, panel) + " within subjects (" +
           countRange(n.least, n.most) + "). Bars are " + intervalName(findings.plan.alpha) +
           "; p by the paired t test, " +
           (findings.plan.multiplicity == Multiplicity::none
                ? "not adjusted."
                : "adjusted by " + adjustmentLabel(findings.plan.multiplicity) + " over the pairs.");
}

std::string mealsCaption(const Study& /*study*/, const Findings& findings, const PanelSpec& panel) {
    CountSpan n;
    bool any = false;
    for (const MealFinding& meal : findings.meals) {
        if (shows(panel.food, meal.food)) {
            n.least = any ? std::min(n.least, meal.n) : meal.n;
            n.most = std::max(n.most, meal.n);
            any = true;
        }
    }
    return "Glycaemic index of mixed meals on the glucose scale, predicted from the parts and observed (" +
           countRange(n.least, n.most) +
           "). Bar on the observed index: " + intervalName(findings.plan.alpha) +
           ". That it holds the predicted value does not show that the two are equal.";
}

std::string portionsCaption(const Study& study, const Findings& findings, const PanelSpec& /*panel*/) {
    return "Available carbohydrate and fibre in the portion of each food. Dotted: within " +
           plainNumber(findings.plan.indexPlan.matchTolerancePercent) +
           " % of the available carbohydrate of " + comparatorName(study, findings.plan.comparator) + ".";
}

std::string insulinCaption(const Study& study, const Findings& findings, const PanelSpec& panel) {
    std::string label = "Measures of insulin";
    std::string formula;
    CountSpan n;
    bool any = false;
    for (const InsulinSummary& summary : findings.insulinSummaries) {
        if (panel.measure != summary.key) {
            continue;
        }
        if (const auto kind = insulinMeasureIndex(summary.key)) {
            label = std::string{insulinMeasureList()[*kind].label};
            formula = std::string{insulinMeasureList()[*kind].formula};
        }
        n.least = any ? std::min(n.least, summary.n) : summary.n;
        n.most = std::max(n.most, summary.n);
        any = true;
    }
    return label + " " + afterFood(study, panel) + (any ? " (" + countRange(n.least, n.most) + ")" : "") +
           ". Small marks are subjects, joined by lines; large marks are means with " +
           intervalName(findings.plan.alpha) + " by t." +
           (formula.empty() ? "" : " Formula: " + formula + ".");
}

std::string subWindowsCaption(const Study& study, const Findings& findings, const PanelSpec& panel) {
    CountSpan n;
    bool any = false;
    for (const CurvePartFinding& part : findings.curvePartFindings) {
        if (part.analyte == analyteOf(study, panel) && shows(panel.food, part.food)) {
            n.least = any ? std::min(n.least, part.area.n) : part.area.n;
            n.most = std::max(n.most, part.area.n);
            any = true;
        }
    }
    return "Mean increment of " + analyteOf(study, panel) + unitWords(study, panel) +
           " in each part of the window, " + afterFood(study, panel) + " (" + countRange(n.least, n.most) +
           "). Bars are " + intervalName(findings.plan.alpha) + " by t.";
}

std::string withinSubjectCaption(const Study& study, const Findings& findings, const PanelSpec& panel) {
    std::set<std::string> repeated;
    for (const WithinSubjectFinding& finding : findings.withinSubject) {
        if (finding.analyte == analyteOf(study, panel) && finding.measure == measureKeyOf(findings, panel) &&
            shows(panel.food, finding.food)) {
            for (const SubjectVisit& visit : finding.visits) {
                if (visit.repeated) {
                    repeated.insert(visit.subject);
                }
            }
        }
    }
    return upper(measureOf(findings, panel)) + " of " + analyteOf(study, panel) + " at repeated visits, " +
           afterFood(study, panel) + " (" + countedWords(repeated.size(), "subject") +
           " with two visits or more). Marks are visits; each line is one subject, in the order of their "
           "means. SD: within a subject; CV: root mean square over the subjects.";
}

std::string planningCaption(const Study& /*study*/, const Findings& /*findings*/,
                            const PanelSpec& /*panel*/) {
    return "Power, or the probability that the interval is as narrow as asked, over the number of subjects "
           "who complete. Marked: the number that was asked for.";
}

std::string flowCaption(const Study& study, const Findings& findings, const PanelSpec& /*panel*/) {
    const StudyFlow& flow = findings.flow;
    std::string text =
        "Flow of the " + countedWords(flow.subjects, "subject") +
        " on record through sequences, periods and foods, after the statement of the CONSORT group on "
        "randomised crossover trials; " +
        std::to_string(flow.analysed) + " analysed with at least one food, " + std::to_string(flow.complete) +
        " with every food that has a visit.";
    if (!study.analytes.empty()) {
        text += " Analysed: a curve of " + study.analytes.front().id + " counts.";
    }
    for (const std::string& note : flow.notes) {
        text += " " + note + ".";
    }
    return text;
}

}  // namespace aftercurve
