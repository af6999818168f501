#include <algorithm>
#include <cmath>
#include <map>

#include "core/base/number_text.h"
#include "core/findings/adjusted_p.h"
#include "core/findings/insulin_findings.h"
#include "core/findings/narrative.h"

namespace aftercurve {

namespace {

/// Of one measure: which visits lie outside what it is meant for.
struct OutsideVisits {
    std::vector<std::size_t> place;  ///< in the list of visits of the measure
    const InsulinMeasure* first = nullptr;
    std::size_t visits = 0;
    std::string labels;  ///< measures that share them
};

std::string shownValue(double value) {
    const double size = std::abs(value);
    const int decimals = size >= 100.0                ? 1
                         : size >= 1.0                ? 2
                         : size >= 0.1 || size == 0.0 ? 3
                         : size >= 0.001              ? 4
                                                      : 6;
    std::string text =
        size >= 1e6 || (size > 0.0 && size < 1e-5) ? plainNumber(value) : fixedNumber(value, decimals);
    if (text.starts_with('-')) {
        text.replace(0, 1, "−");
    }
    return text;
}

constexpr const char* washoutWords =
    "It is read before the meal, so that the food cannot have acted on it: a difference between foods here "
    "speaks of washout, the evening before or chance of the order, not of an effect of the food.";

}  // namespace

std::vector<Problem> problemsOf(std::span<const InsulinMeasure> measures) {
    std::vector<OutsideVisits> groups;
    for (std::size_t first = 0; first < measures.size();) {
        OutsideVisits outside;
        std::size_t last = first;
        for (; last < measures.size() && measures[last].key == measures[first].key; ++last) {
            if (measures[last].outside.empty()) {
                continue;
            }
            outside.place.push_back(last - first);
            if (outside.first == nullptr) {
                outside.first = &measures[last];
            }
        }
        outside.visits = last - first;
        const auto index = insulinMeasureIndex(measures[first].key);
        outside.labels = index ? std::string{insulinMeasureList()[*index].label} : measures[first].key;
        first = last;
        if (outside.first == nullptr) {
            continue;
        }
        const auto alike = std::find_if(groups.begin(), groups.end(), [&outside](const OutsideVisits& group) {
            return group.place == outside.place && group.first->outside == outside.first->outside;
        });
        if (alike == groups.end()) {
            groups.push_back(std::move(outside));
        } else {
            alike->labels += ", " + outside.labels;
        }
    }
    std::vector<Problem> problems;
    for (const OutsideVisits& group : groups) {
        Problem p;
        p.severity = Severity::note;
        p.subject = group.first->subject;
        p.food = group.first->food;
        p.visit = group.first->visit;
        p.file = group.first->file;
        p.row = group.first->row;
        p.what = group.labels + ": outside what the measure is meant for in " +
                 std::to_string(group.place.size()) + " of " + std::to_string(group.visits) +
                 (group.visits == 1 ? " visit" : " visits") + "; the first is subject " + p.subject + ", " +
                 p.food + ", visit " + std::to_string(p.visit) + ": " + group.first->outside;
        p.remedy = "read these values with care; the table of each visit marks them";
        problems.push_back(std::move(p));
    }
    return problems;
}

std::string insulinSentence(const Study& study, const Plan& plan, const InsulinSummary& summary) {
    const auto index = insulinMeasureIndex(summary.key);
    if (!index) {
        return {};
    }
    const InsulinMeasureKind& kind = insulinMeasureList()[*index];
    const std::string label{kind.label};
    const std::string unit = kind.unit.empty() ? "" : " " + std::string{kind.unit};
    const std::string food = labelOf(study, summary.food);
    if (!summary.mean) {
        return label + " of " + food + " could not be found: " + summary.absentBecause + ".";
    }
    std::string text = label + (kind.fasting ? " on the mornings of " : " of ") + food + " was " +
                       shownValue(*summary.mean) + unit;
    if (summary.sd) {
        text += " (SD " + shownValue(*summary.sd) + ", n = " + std::to_string(summary.n) + ")";
    } else {
        text += " in 1 subject";
    }
    if (summary.comparator.empty()) {
        return text + ".";
    }
    const std::string comparator = labelOf(study, summary.comparator);
    const PairedT& t = summary.t;
    if (!t.p || !t.ciLow || !t.ciHigh) {
        return text + "; it could not be tested against " + comparator + ": " +
               (summary.comparisonAbsentBecause.empty() ? "the interval is too wide to be represented"
                                                        : summary.comparisonAbsentBecause) +
               ".";
    }
    const bool adjusted = summary.pAdjusted && *summary.pAdjusted != *t.p;
    text += "; minus " + comparator + " " + shownValue(*t.meanDifference) + unit + " (" +
            confidencePercent(plan.alpha) + " % CI " + shownValue(*t.ciLow) + " to " + shownValue(*t.ciHigh) +
            "; paired t(" + plainNumber(*t.df) + ") = " + shownValue(*t.t) + ", " + pText(*t.p) +
            (adjusted ? ", adjusted (" + adjustmentLabel(plan.multiplicity) + ") " + pText(*summary.pAdjusted)
                      : "") +
            "; n = " + std::to_string(t.n) + ").";
    if (kind.fasting) {
        text += std::string{" "} + washoutWords;
    }
    if (summary.pAdjusted.value_or(*t.p) >= plan.alpha) {
        text += " At the " + plainNumber(plan.alpha) +
                " level this does not tell the foods apart; it is not evidence that they are alike.";
    }
    return text;
}

}  // namespace aftercurve
