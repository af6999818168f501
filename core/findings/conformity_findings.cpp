#include "core/findings/conformity_findings.h"

#include <algorithm>
#include <cmath>

#include "core/base/number_text.h"
#include "core/curve/measures.h"
#include "core/findings/conformity_rows.h"
#include "core/findings/findings.h"
#include "core/findings/index_test_facts.h"
#include "core/findings/rounded_words.h"

namespace aftercurve {

namespace {

void addComputation(IndexRuleRows& rows, const IndexStandardRules& rules, const IndexRuleTest& test) {
    if (rules.window) {
        const WindowAsked& asked = rules.window->value;
        auto& row = rows.add(
            *rules.window, "window", "Window",
            std::string{asked.atLeast ? "at least " : ""} + "0 to " + plainNumber(asked.endMin) + " min");
        row.number = test.plan.windowEndMin;
        judgeRow(row,
                 std::abs(test.plan.windowEndMin - asked.endMin) <= 0.0 ||
                     (asked.atLeast && test.plan.windowEndMin > asked.endMin),
                 "0 to " + plainNumber(test.plan.windowEndMin) + " min", "take that window, or say so");
    }
    if (rules.areaMeasure) {
        auto& row = rows.add(*rules.areaMeasure, "area", "Measure of the curve",
                             measureLabel(std::string{rules.areaMeasure->value}));
        row.saidElsewhere = true;
        judgeRow(row, test.plan.measure == rules.areaMeasure->value, measureLabel(test.plan.measure),
                 "take that area as the main measure");
    }
    if (rules.referenceCvPercent) {
        const double limit = rules.referenceCvPercent->value;
        auto& row =
            rows.add(*rules.referenceCvPercent, "reference_cv", "Within-subject CV of the reference food",
                     "no more than " + plainNumber(limit) + " %", test.reference);
        row.number = test.foods.front()->index.referenceCvPercent;  // the same for all foods
        row.saidElsewhere = true;
        if (!row.number) {
            leaveNotStated(row, "no subject has two visits with the reference food",
                           "plan repeats of the reference food");
        } else {
            judgeRow(row, *row.number <= limit, roundedText(*row.number) + " %",
                     "look for a visit that went wrong");
        }
    }
    if (rules.outlierSds) {
        auto& row = rows.add(
            *rules.outlierSds, "outliers", "Subjects left out of the index",
            "subjects beyond mean ± " + plainNumber(rules.outlierSds->value) + " SD may be left out");
        std::size_t leftOut = 0;
        bool beyond = true;
        for (const IndexFinding* finding : test.foods) {
            const auto& subjects = finding->index.subjects;
            leftOut += static_cast<std::size_t>(
                std::count_if(subjects.begin(), subjects.end(), [](const auto& s) { return s.leftOut; }));
            beyond = beyond && leftOutLieBeyond(finding->index, rules.outlierSds->value);
        }
        row.number = static_cast<double>(leftOut);
        judgeRow(row, beyond,
                 "rule '" + std::string{wordFor(test.plan.indexOutlierRule)} +
                     "': " + countedWords(leftOut, "value") + " left out over all foods",
                 "a value within those limits was left out by a later pass: run the rule once");
    }
}

/// A number that only the people of the study can state.
void addStated(ConformityFinding& row, const std::optional<double>& has, const std::string& unit, bool met,
               const std::string& what) {
    row.number = has;
    if (!has) {
        leaveNotStated(row, "not stated", "state " + what);
    } else {
        judgeRow(row, met, plainNumber(*has) + " " + unit, "say so");
    }
}

void addConduct(IndexRuleRows& rows, const IndexStandardRules& rules, const IndexRuleTest& test) {
    const Conduct& conduct = test.study.conduct;
    if (rules.analyserCvPercent) {
        const double limit = rules.analyserCvPercent->value;
        addStated(rows.add(*rules.analyserCvPercent, "analyser_cv", "CV of the glucose analyser",
                           "below " + plainNumber(limit) + " %"),
                  conduct.analyserCvPercent, "%", conduct.analyserCvPercent.value_or(limit) < limit,
                  "the analyser's between-run CV");
    }
    if (rules.fastHours) {
        const double fewest = rules.fastHours->value;
        addStated(rows.add(*rules.fastHours, "fast", "Fast before a test",
                           "at least " + plainNumber(fewest) + " h"),
                  conduct.fastHours, "h", conduct.fastHours.value_or(0.0) >= fewest, "the shortest fast");
    }
    if (rules.eatingMinutes) {
        const double most = rules.eatingMinutes->value;
        addStated(rows.add(*rules.eatingMinutes, "eating", "Time for eating",
                           "no more than " + plainNumber(most) + " min"),
                  conduct.eatingMinutes, "min", conduct.eatingMinutes.value_or(most) <= most,
                  "the longest time for eating");
    }
    if (rules.specimen) {
        auto& row = rows.add(*rules.specimen, "specimen", "Blood",
                             "preferably " + std::string{rules.specimen->value});
        std::string specimen = test.study.analytes[*findAnalyte(test.study, "glucose")].specimen;
        if (specimen.empty()) {
            leaveNotStated(row, "not stated", "state the specimen of glucose");
        } else {
            std::string lower = specimen;
            std::transform(lower.begin(), lower.end(), lower.begin(), [](char c) {
                return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
            });
            judgeRow(row, lower.find(rules.specimen->value) != std::string::npos, specimen,
                     "a preference, not a demand: say which blood was taken");
        }
    }
}

void addClasses(IndexRuleRows& rows, const IndexStandardRules& rules, const IndexRuleTest& test) {
    for (const IndexFinding* finding : test.foods) {
        const auto& value = finding->index.mean;
        const std::string none = "no index: " + finding->index.absentBecause;
        if (rules.rounding) {
            auto& row = rows.add(*rules.rounding, "rounding", "Index as it is reported",
                                 std::string{rules.rounding->value}, finding->food);
            row.number = value;
            row.status = ConformityStatus::notApplicable;
            row.has =
                value ? fixedNumber(std::round(*value), 0) + " (from " + roundedText(*value) + ")" : none;
        }
        if (rules.classes) {
            auto& row = rows.add(*rules.classes, "class", "Class", std::string{rules.classes->value.words},
                                 finding->food);
            row.number = value;
            row.status = ConformityStatus::notApplicable;
            const bool ofArea = rules.areaMeasure && finding->measure == rules.areaMeasure->value;
            row.has = !value   ? none
                      : ofArea ? indexClass(rules.standard, *value) + " (" + roundedText(*value) + ")"
                               : "no class: the index is from another measure";
            if (value && ofArea && std::abs(test.plan.indexPlan.referenceFactor - 1.0) > 0.0) {
                row.remark = "of the index as it is, not of the index on the glucose scale";
            }
        }
    }
}

}  // namespace

std::string_view wordFor(ConformityStatus status) {
    switch (status) {
        case ConformityStatus::met:
            return "met";
        case ConformityStatus::notMet:
            return "not met";
        case ConformityStatus::notStated:
            return "not stated";
        case ConformityStatus::look:
            return "look";
        case ConformityStatus::notApplicable:
            break;
    }
    return "not applicable";
}

std::vector<ConformityFinding> conformityFindings(const Study& study, const Plan& plan,
                                                  std::span<const CurveFinding> curves,
                                                  std::span<const IndexFinding> index) {
    std::vector<ConformityFinding> findings;
    IndexRuleTest test{study, plan, curves, {}, {}, {}};
    for (const IndexFinding& finding : index) {
        if (finding.analyte == "glucose") {
            test.foods.push_back(&finding);
            for (std::string& subject : keptSubjects(finding)) {
                if (std::find(test.kept.begin(), test.kept.end(), subject) == test.kept.end()) {
                    test.kept.push_back(std::move(subject));
                }
            }
        }
    }
    if (test.foods.empty() || !plan.index) {
        return findings;
    }
    test.reference = test.foods.front()->reference;
    std::vector<const IndexStandardRules*> order;
    for (const IndexStandardRules& rules : indexStandards()) {
        order.push_back(&rules);
    }
    std::stable_partition(order.begin(), order.end(), [&plan](const IndexStandardRules* rules) {
        return rules->standard == plan.indexPlan.standard;
    });
    for (const IndexStandardRules* rules : order) {
        IndexRuleRows rows{*rules, findings};
        addSubjectRows(rows, *rules, test);
        addVisitRows(rows, *rules, test);
        addCarbohydrateRows(rows, *rules, test);
        addReferenceFoodRow(rows, *rules, test);
        addSamplingRows(rows, *rules, test);
        addComputation(rows, *rules, test);
        addConduct(rows, *rules, test);
        addClasses(rows, *rules, test);
    }
    return findings;
}

std::vector<Problem> problemsOf(std::span<const ConformityFinding> findings, const Plan& plan) {
    std::vector<Problem> problems;
    for (const ConformityFinding& finding : findings) {
        if (finding.standard != plan.indexPlan.standard || finding.status != ConformityStatus::notMet ||
            finding.saidElsewhere) {
            continue;
        }
        Problem p;
        p.severity = Severity::warning;
        p.check = "index-standard";
        p.analyte = "glucose";
        p.food = finding.food;
        p.what = (finding.food.empty() ? "index" : "index of " + finding.food) + " against " +
                 std::string{rulesOf(finding.standard).title} + ", " + finding.words + ": " + finding.has +
                 "; asked: " + finding.asked + " (" + std::string{wordFor(finding.basis)} + ")";
        p.remedy = finding.remark;
        problems.push_back(std::move(p));
    }
    return problems;
}

std::string conformitySentence(const Study& study, std::span<const ConformityFinding> findings,
                               const Plan& plan) {
    std::size_t met = 0;
    std::size_t notMet = 0;
    std::size_t unstated = 0;
    std::size_t look = 0;
    std::string which;
    for (const ConformityFinding& finding : findings) {
        if (finding.standard != plan.indexPlan.standard) {
            continue;
        }
        met += finding.status == ConformityStatus::met ? 1U : 0U;
        look += finding.status == ConformityStatus::look ? 1U : 0U;
        unstated += finding.status == ConformityStatus::notStated ? 1U : 0U;
        if (finding.status == ConformityStatus::notMet) {
            ++notMet;
            which += (which.empty() ? "" : "; ") + finding.words +
                     (finding.food.empty() ? "" : ", " + labelOf(study, finding.food));
        }
    }
    if (met + notMet + unstated + look == 0) {
        return {};
    }
    return "Of the points of " + std::string{rulesOf(plan.indexPlan.standard).title} +
           " that are known here: " + std::to_string(met) + " met, " + std::to_string(notMet) + " not met" +
           (which.empty() ? "" : " (" + which + ")") + ", " + std::to_string(unstated) + " not stated, " +
           std::to_string(look) + " for a person to judge.";
}

}  // namespace aftercurve
