#include "core/findings/evidence_rows.h"

#include <algorithm>

#include "core/base/number_text.h"
#include "core/curve/measures.h"
#include "core/findings/adjusted_p.h"
#include "core/findings/narrative.h"
#include "core/findings/rounded_words.h"
#include "core/study/laboratory_exclusion.h"

namespace aftercurve {

namespace {

std::string unitBehind(const std::string& unit) {
    return unit.empty() ? "" : " " + unit;
}

/// "mean difference −25.3 mmol/L × min (95 % CI ...), −22.1 % of the comparator's mean; p = 0.003; n = 12".
std::string differenceWords(const ComparisonFinding& c, const Plan& plan) {
    std::string text = "mean difference " + roundedText(*c.t.meanDifference) + unitBehind(c.unit);
    if (c.t.ciLow && c.t.ciHigh) {
        text += " (" + intervalWords(*c.t.ciLow, *c.t.ciHigh, plan.alpha) + ")";
    }
    if (c.comparatorMean && *c.comparatorMean > 0.0) {
        text += ", " + roundedText(100.0 * (*c.t.meanDifference / *c.comparatorMean)) +
                " % of the comparator's mean";
    }
    if (c.t.p) {
        text += "; " + pText(*c.t.p);
        if (c.pAdjusted && plan.multiplicity != Multiplicity::none) {
            text += ", " + adjustmentLabel(plan.multiplicity) + "-adjusted " + pText(*c.pAdjusted);
        }
    }
    return text + "; n = " + std::to_string(c.t.n);
}

std::string noComparisonWords(const ComparisonFinding* c) {
    if (c == nullptr) {
        return "no comparison with the comparator";
    }
    return c->t.absentBecause.empty() ? "no subject has both foods" : c->t.absentBecause;
}

/// Whether a smaller value of the measure is a lower response.
bool isAHeight(const std::string& measure) {
    const auto index = measureIndex(measure);
    return index && (measureList()[*index].unit == MeasureUnit::concentrationMinutes ||
                     measureList()[*index].unit == MeasureUnit::concentration);
}

void addGlucoseLower(EvidenceRows& rows, const Findings& findings) {
    const Plan& plan = findings.plan;
    auto& row = rows.add(resistantStarchOpinion, "glucose_lower", "Glucose response lower",
                         "a lower rise of glucose than after the comparator");
    row.analyte = "glucose";
    row.measure = plan.measure;
    const ComparisonFinding* c = mainComparison(findings, findings.comparisons, "glucose", row.food);
    if (c == nullptr || !c->t.meanDifference) {
        judgeEvidence(row, EvidenceStatus::missing, noComparisonWords(c));
        return;
    }
    const std::string has = measureLabel(c->measure) + ": " + differenceWords(*c, plan);
    if (!c->t.p) {
        judgeEvidence(row, EvidenceStatus::missing, has, "not tested: " + c->t.absentBecause);
    } else if (!isAHeight(c->measure)) {
        judgeEvidence(row, EvidenceStatus::look, has, "the main measure is no height of the response");
    } else if (c->pAdjusted.value_or(*c->t.p) >= plan.alpha) {
        judgeEvidence(row, EvidenceStatus::notShown, has,
                      "the interval shows which differences remain possible");
    } else {
        const bool lower = *c->t.meanDifference < 0.0;
        judgeEvidence(row, lower ? EvidenceStatus::shown : EvidenceStatus::notShown, has,
                      lower ? "" : "the response was higher");
    }
}

struct TimesByDirection {
    std::string lower;
    std::string higher;
    std::string open;  ///< tested, and not told apart
    std::string untested;
};

void append(std::string& list, double timeMin) {
    list += (list.empty() ? "" : ", ") + plainNumber(timeMin);
}

TimesByDirection timesByDirection(const TimeCourseFinding& course, const std::string& food, double alpha) {
    TimesByDirection times;
    for (const TimeCourseDifference& d : course.fit.differences) {
        if (course.foods[d.food] != food) {
            continue;
        }
        const double timeMin = course.timesMin[d.time];
        const auto decisive = d.pAdjusted ? d.pAdjusted : d.p;
        if (!decisive || !d.estimate) {
            append(times.untested, timeMin);
        } else if (*decisive >= alpha) {
            append(times.open, timeMin);
        } else {
            append(*d.estimate < 0.0 ? times.lower : times.higher, timeMin);
        }
    }
    return times;
}

void addGlucoseTimes(EvidenceRows& rows, const Findings& findings) {
    auto& row = rows.add(bloodGlucoseGuidance, "glucose_times", "At which times glucose is lower",
                         "lower at times after eating, and not raised later");
    row.analyte = "glucose";
    const auto course = std::find_if(
        findings.timeCourses.begin(), findings.timeCourses.end(),
        [&](const auto& c) { return c.analyte == "glucose" && c.comparator == findings.plan.comparator; });
    if (course == findings.timeCourses.end()) {
        judgeEvidence(row, EvidenceStatus::missing, "no model of the time course");
        return;
    }
    const TimesByDirection times = timesByDirection(*course, row.food, findings.plan.alpha);
    if (times.lower.empty() && times.higher.empty() && times.open.empty()) {
        judgeEvidence(row, EvidenceStatus::missing, "no test of single times",
                      course->fit.absentBecause.empty() ? "" : course->fit.absentBecause);
        return;
    }
    std::string has = times.lower.empty() ? "lower at no single time" : "lower at " + times.lower + " min";
    has += times.higher.empty() ? "" : "; higher at " + times.higher + " min";
    has += times.open.empty() ? "" : "; not told apart at " + times.open + " min";
    has += times.untested.empty() ? "" : "; not tested at " + times.untested + " min";
    const bool mixed = !times.lower.empty() && !times.higher.empty();
    judgeEvidence(row,
                  mixed                 ? EvidenceStatus::look
                  : times.lower.empty() ? EvidenceStatus::notShown
                                        : EvidenceStatus::shown,
                  has, mixed ? "lower at some times and higher at others" : "");
}

/// Ratio of the two means over the pairs, after the food and after the comparator; empty where it cannot be.
std::string ratioWords(const Study& study, const ComparisonFinding& insulin,
                       const ComparisonFinding* glucose) {
    const auto positive = [](const std::optional<double>& x) { return x && *x > 0.0; };
    if (glucose == nullptr || !positive(glucose->foodMean) || !positive(glucose->comparatorMean) ||
        !insulin.foodMean || !insulin.comparatorMean) {
        return {};
    }
    const auto unitOfAnalyteHere = [&study](std::string_view id) {
        const auto index = findAnalyte(study, id);
        return index ? study.analytes[*index].unit : std::string{};
    };
    return "; insulin over glucose " + roundedText(*insulin.foodMean / *glucose->foodMean) +
           " after the food, " + roundedText(*insulin.comparatorMean / *glucose->comparatorMean) +
           " after the comparator (" + unitOfAnalyteHere("insulin") + " per " + unitOfAnalyteHere("glucose") +
           (insulin.t.n == glucose->t.n ? "" : "; not of the same pairs") + ")";
}

}  // namespace

EvidenceFinding& EvidenceRows::add(const EvidenceSource& source, std::string point, std::string words,
                                   std::string asked) {
    EvidenceFinding row;
    row.food = food_.id;
    row.point = std::move(point);
    row.words = std::move(words);
    row.asked = std::move(asked);
    row.source = std::string{source.words};
    row.basis = source.basis;
    rows_.push_back(std::move(row));
    return rows_.back();
}

void judgeEvidence(EvidenceFinding& row, EvidenceStatus status, std::string has, std::string remark) {
    row.status = status;
    row.has = std::move(has);
    row.remark = std::move(remark);
}

const ComparisonFinding* mainComparison(const Findings& findings,
                                        const std::vector<ComparisonFinding>& comparisons,
                                        std::string_view analyte, std::string_view food) {
    for (const ComparisonFinding& c : comparisons) {
        if (c.analyte == analyte && c.food == food && c.measure == findings.plan.measure &&
            c.comparator == findings.plan.comparator) {
            return &c;
        }
    }
    return nullptr;
}

void addGlucoseRows(EvidenceRows& rows, const Findings& findings) {
    addGlucoseLower(rows, findings);
    addGlucoseTimes(rows, findings);
}

void addInsulinRow(EvidenceRows& rows, const Study& study, const Findings& findings) {
    auto& row = rows.add(resistantStarchOpinion, "insulin_not_raised", "Insulin response not raised",
                         "insulin not disproportionally raised; no number is published");
    row.analyte = "insulin";
    row.measure = findings.plan.measure;
    const ComparisonFinding* c = mainComparison(findings, findings.comparisons, "insulin", row.food);
    if (c == nullptr || !c->t.meanDifference) {
        judgeEvidence(row, EvidenceStatus::missing,
                      findAnalyte(study, "insulin") ? noComparisonWords(c) : "insulin was not measured");
        return;
    }
    std::string has = measureLabel(c->measure) + ": " + differenceWords(*c, findings.plan);
    if (c->t.ciHigh && c->comparatorMean && *c->comparatorMean > 0.0) {
        has += "; upper limit " + roundedText(100.0 * (*c->t.ciHigh / *c->comparatorMean)) +
               " % of the comparator's mean";
    }
    has += ratioWords(study, *c, mainComparison(findings, findings.comparisons, "glucose", row.food));
    judgeEvidence(row, EvidenceStatus::look, has,
                  "a person judges; a p above alpha does not show that insulin is not raised");
}

void addStabilityRows(EvidenceRows& rows, const Study& study, const Findings& findings) {
    auto& excluded =
        rows.add(trialPractice, "exclusions", "Exclusions", "each with its reason, and their effect");
    excluded.analyte = "glucose";
    excluded.measure = findings.plan.measure;
    if (findings.exclusionsIgnored) {
        judgeEvidence(excluded, EvidenceStatus::look, "this run was asked to ignore the exclusions");
    } else if (!anyOfSubjects(study.exclusions)) {
        judgeEvidence(
            excluded, EvidenceStatus::shown,
            study.exclusions.empty() ? "none" : "none of subjects; some of the laboratory's results");
    } else {
        const auto ofSubjects =
            study.exclusions.size() - static_cast<std::size_t>(std::count_if(
                                          study.exclusions.begin(), study.exclusions.end(), isOfLaboratory));
        const ComparisonFinding* without =
            mainComparison(findings, findings.comparisonsIgnoringExclusions, "glucose", excluded.food);
        judgeEvidence(excluded, EvidenceStatus::look,
                      countedWords(ofSubjects, "exclusion") + " with the reason beside; " +
                          (without != nullptr && without->t.meanDifference
                               ? "without them: " + differenceWords(*without, findings.plan)
                               : "without them there is no comparison of glucose"));
    }
    auto& ways = rows.add(trialPractice, "sensitivity", "Holds under other choices",
                          "the sign of the difference in every way of computing it");
    ways.analyte = "glucose";
    ways.measure = findings.plan.measure;
    const auto grid = std::find_if(
        findings.sensitivity.begin(), findings.sensitivity.end(),
        [&](const SensitivityFinding& s) { return s.analyte == "glucose" && s.food == ways.food; });
    std::size_t tested = 0;
    std::size_t lower = 0;
    if (grid != findings.sensitivity.end()) {
        for (const SensitivityRow& way : grid->rows) {
            tested += way.p ? 1U : 0U;
            lower += way.p && way.meanDifference.value_or(0.0) < 0.0 ? 1U : 0U;
        }
    }
    if (tested == 0) {
        judgeEvidence(
            ways, EvidenceStatus::missing,
            grid == findings.sensitivity.end() ? "no other ways were computed" : "no way has a test");
        return;
    }
    judgeEvidence(ways, lower == tested ? EvidenceStatus::shown : EvidenceStatus::notShown,
                  "mean difference below 0 in " + std::to_string(lower) + " of " +
                      countedWords(tested, "way") + " (areas, baselines, windows)",
                  "the sign alone; their p are not judged here");
}

}  // namespace aftercurve
