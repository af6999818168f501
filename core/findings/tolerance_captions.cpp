#include <algorithm>
#include <set>

#include "core/base/number_text.h"
#include "core/findings/findings.h"
#include "core/findings/tolerance_words.h"

namespace aftercurve {

namespace {

/// The item that a panel names; nothing where it names none.
const DiaryQuantity* namedQuantity(const ToleranceFindings& tolerance, const PanelSpec& panel) {
    const auto found = std::find_if(tolerance.quantities.begin(), tolerance.quantities.end(),
                                    [&panel](const DiaryQuantity& one) { return one.id == panel.measure; });
    return found == tolerance.quantities.end() ? nullptr : &*found;
}

std::string ofItem(const ToleranceFindings& tolerance, const PanelSpec& panel) {
    const DiaryQuantity* quantity = namedQuantity(tolerance, panel);
    return quantity == nullptr ? std::string{} : " of " + quantity->label;
}

}  // namespace

std::string symptomsDivergingCaption(const Study& study, const Findings& findings, const PanelSpec& panel) {
    const ToleranceFindings& tolerance = findings.tolerance;
    if (tolerance.categories.empty()) {
        return "There is no symptom diary to show.";
    }
    std::string text = "Subjects by their worst score" + ofItem(tolerance, panel) + " in the diary";
    text += panel.food.empty() ? std::string{} : ", " + labelOf(study, panel.food);
    return text +
           ": those with the least score of the scale to the left of the line, the others to the right, "
           "darker "
           "for a higher score. Missing days are not filled in, so that a worst score rests on the days "
           "present.";
}

std::string symptomsDoseCaption(const Study& study, const Findings& findings, const PanelSpec& panel) {
    const ToleranceFindings& tolerance = findings.tolerance;
    std::set<double> doses;
    for (const DiaryArm& arm : tolerance.runs.arms) {
        if (arm.doseG) {
            doses.insert(*arm.doseG);
        }
    }
    if (doses.size() < 2) {
        return "No diary at two doses or more.";
    }
    std::string text = "Mean score of the days" + ofItem(tolerance, panel) + " over doses, with " +
                       confidencePercent(findings.plan.alpha) +
                       " % CI of the mean over subjects by t; "
                       "foods of one dose have no line";
    if (!tolerance.comparator.empty()) {
        text += "; dotted: " + labelOf(study, tolerance.comparator);
    }
    return text + ". Scores are ordinal, so that the interval is a rough guide.";
}

std::string bridgeCaption(const Study& /*study*/, const Findings& findings, const PanelSpec& panel) {
    const std::vector<BridgeFinding>& pairs = findings.bridge.pairs;
    const auto named = std::find_if(pairs.begin(), pairs.end(), [&panel](const BridgeFinding& pair) {
        return pair.x.key == panel.measure && pair.points.size() > 1;
    });
    const auto drawn = named != pairs.end()
                           ? named
                           : std::find_if(pairs.begin(), pairs.end(), [](const BridgeFinding& pair) {
                                 return pair.pearson.r.has_value();
                             });
    if (drawn == pairs.end()) {
        return "There is no digestion in vitro beside a response to show.";
    }
    std::string text = permitsSentence(*drawn, findings.plan.alpha);
    if (drawn->deming.slope) {
        text += " Dashed: Deming line, ratio of the variances from the ";
        text +=
            drawn->lambdaSource == LambdaSource::standardErrors ? "standard errors." : "spread of the foods.";
    }
    return text + " Bars: standard errors, where known.";
}

}  // namespace aftercurve
