#include "core/findings/tolerance_findings.h"

#include <algorithm>
#include <iterator>
#include <map>
#include <set>
#include <tuple>

#include "core/compare/descriptive.h"
#include "core/findings/rounded_words.h"
#include "core/findings/tolerance_ordinal.h"
#include "core/findings/tolerance_tests.h"

namespace aftercurve {

namespace {

ToleranceSummary summaryOf(const Plan& plan, const std::vector<double>& values) {
    ToleranceSummary summary;
    summary.mean = pairedT(asDifferences(values), plan.alpha);
    summary.mean.t.reset();  // no test of a mean score against 0 is meant
    summary.mean.p.reset();
    if (!values.empty()) {
        summary.median = median(values);
        summary.lowerQuartile = quantile7(values, 0.25);
        summary.upperQuartile = quantile7(values, 0.75);
        summary.largest = *std::max_element(values.begin(), values.end());
    }
    return summary;
}

std::vector<ToleranceSummary> summariesOf(const Plan& plan, const ToleranceFindings& findings) {
    std::map<std::pair<std::size_t, std::size_t>, std::vector<const DiaryScore*>> scoresAt;
    for (const DiaryScore& score : findings.scores) {
        scoresAt[{score.quantity, score.arm}].push_back(&score);
    }
    std::vector<ToleranceSummary> summaries;
    for (std::size_t q = 0; q < findings.quantities.size(); ++q) {
        for (const DiaryMeasure measure : measuresOf(findings.quantities[q].kind)) {
            for (std::size_t arm = 0; arm < findings.runs.arms.size(); ++arm) {
                std::vector<double> values;
                for (const DiaryScore* score : scoresAt[{q, arm}]) {
                    if (const auto value = score->value(measure)) {
                        values.push_back(*value);
                    }
                }
                ToleranceSummary summary = summaryOf(plan, values);
                summary.quantity = q;
                summary.arm = arm;
                summary.measure = measure;
                summaries.push_back(std::move(summary));
            }
        }
    }
    return summaries;
}

/// Of an item, where its scale has few steps.
constexpr double mostCategories = 21.0;

/// One an arm, for one item.
std::vector<ToleranceCategories> categoriesOf(const DiaryData& diary, const ToleranceFindings& findings,
                                              std::size_t q) {
    const DiaryQuantity& quantity = findings.quantities[q];
    const DiaryItem& item = diary.items[quantity.item];
    std::vector<ToleranceCategories> byArm(findings.runs.arms.size());
    for (std::size_t arm = 0; arm < byArm.size(); ++arm) {
        byArm[arm].quantity = q;
        byArm[arm].arm = arm;
        byArm[arm].least = item.least;
        byArm[arm].subjects.resize(static_cast<std::size_t>(item.most - item.least + 1));
        byArm[arm].days.resize(byArm[arm].subjects.size());
    }
    std::map<std::pair<std::size_t, std::string>, std::size_t> worst;  // by arm and subject
    for (const DiaryRun& run : findings.runs.runs) {
        for (const std::size_t day : run.days) {
            if (const auto score = dayValue(diary, quantity, diary.days[day])) {
                const auto place = static_cast<std::size_t>(*score - quantity.least);
                ++byArm[run.arm].days[place];
                ++byArm[run.arm].dayCount;
                std::size_t& most = worst.try_emplace({run.arm, run.subject}, place).first->second;
                most = std::max(most, place);
            }
        }
    }
    for (const auto& [at, place] : worst) {
        ++byArm[at.first].subjects[place];
        ++byArm[at.first].subjectCount;
    }
    return byArm;
}

std::vector<ToleranceCategories> categoriesOf(const DiaryData& diary, const ToleranceFindings& findings) {
    std::vector<ToleranceCategories> all;
    for (std::size_t q = 0; q < findings.quantities.size(); ++q) {
        const DiaryQuantity& quantity = findings.quantities[q];
        if (quantity.kind != DiaryQuantityKind::item || *quantity.most - quantity.least >= mostCategories) {
            continue;
        }
        std::vector<ToleranceCategories> ofItem = categoriesOf(diary, findings, q);
        std::move(ofItem.begin(), ofItem.end(), std::back_inserter(all));
    }
    return all;
}

std::vector<AdverseEventCount> countsOf(const Study& study, const std::vector<AdverseEvent>& events) {
    // Foods in the order of the study, then others as written; severities by weight.
    const auto placeOfFood = [&study](const std::string& food) {
        return findFood(study, food).value_or(study.foods.size());
    };
    const auto weight = [](const std::string& severity) {
        return severity == "mild" ? 0 : severity == "moderate" ? 1 : severity == "severe" ? 2 : 3;
    };
    using Key = std::tuple<std::size_t, std::string, int, std::string>;
    std::map<Key, std::pair<AdverseEventCount, std::set<std::string>>> counts;
    for (const AdverseEvent& event : events) {
        auto& [count, subjects] =
            counts[{placeOfFood(event.food), event.food, weight(event.severity), event.severity}];
        count.food = event.food;
        count.severity = event.severity;
        ++count.events;
        count.serious += event.serious ? 1U : 0U;
        subjects.insert(event.subject);
    }
    std::vector<AdverseEventCount> list;
    for (auto& [key, entry] : counts) {
        entry.first.subjects = entry.second.size();
        list.push_back(std::move(entry.first));
    }
    return list;
}

std::string reasonWithoutTests(const Study& study, const Plan& plan, const DiaryRuns& runs) {
    if (plan.comparator.empty()) {
        return "the plan names no comparator";
    }
    const bool there = std::any_of(runs.arms.begin(), runs.arms.end(),
                                   [&](const DiaryArm& arm) { return arm.food == plan.comparator; });
    return there ? std::string{} : "no diary day of the comparator, " + labelOf(study, plan.comparator);
}

Problem problemIn(const Study& study, Severity severity, std::string what, std::string remedy) {
    Problem p;
    p.severity = severity;
    p.file = study.diary.file;
    p.what = std::move(what);
    p.remedy = std::move(remedy);
    return p;
}

void addMissingDays(const Study& study, const ToleranceFindings& findings, std::vector<Problem>& problems) {
    std::size_t missing = 0;
    std::size_t planned = 0;
    for (const DiaryRun& run : findings.runs.runs) {
        missing += run.missing.size();
        planned += run.planned();
    }
    if (missing > 0) {
        problems.push_back(problemIn(study, Severity::note,
                                     std::to_string(missing) + " of " + std::to_string(planned) +
                                         " planned diary days have no entry; none is filled in",
                                     "the table of missing diary days lists them"));
    }
    if (findings.runs.excludedDays > 0) {
        problems.push_back(problemIn(
            study, Severity::note,
            countedWords(findings.runs.excludedDays, "diary day") + " taken out by exclusions", ""));
    }
}

void addEvents(const ToleranceFindings& findings, std::vector<Problem>& problems) {
    for (std::size_t i = 0; i < findings.events.size(); ++i) {
        const AdverseEvent& event = findings.events[i];
        if (!event.serious && event.severity != "severe") {
            continue;
        }
        Problem p;
        p.severity = Severity::warning;
        p.file = "study.json";
        p.column = "diary.events[" + std::to_string(i) + "]";
        p.subject = event.subject;
        p.food = event.food;
        p.what = std::string{event.serious ? "a serious" : "a severe"} + " adverse event: " + event.what;
        p.remedy =
            "see that the physician of the study and the ethics committee were told as the protocol asks";
        problems.push_back(std::move(p));
    }
}

}  // namespace

ToleranceFindings toleranceFindings(const Study& study, const Plan& plan) {
    ToleranceFindings findings;
    const DiaryData& diary = study.diary;
    findings.events = diary.events;
    findings.eventCounts = countsOf(study, diary.events);
    if (diary.days.empty()) {
        return findings;
    }
    findings.quantities = diaryQuantities(diary);
    findings.runs = diaryRuns(study);
    findings.testsAbsentBecause = reasonWithoutTests(study, plan, findings.runs);
    if (findings.testsAbsentBecause.empty()) {
        findings.comparator = plan.comparator;
    }
    findings.scores = diaryScores(diary, findings.runs, findings.quantities);
    findings.summaries = summariesOf(plan, findings);
    findings.tests = toleranceTests(study, plan, findings);
    findings.doseTests = toleranceDoseTests(study, plan, findings);
    findings.ordinalModels = toleranceOrdinalModels(plan, findings);
    findings.incidence = toleranceIncidence(study, plan, findings);
    findings.categories = categoriesOf(diary, findings);
    return findings;
}

std::vector<Problem> problemsOf(const Study& study, const ToleranceFindings& findings) {
    std::vector<Problem> problems;
    if (!findings.runs.runs.empty() && !findings.testsAbsentBecause.empty()) {
        problems.push_back(problemIn(study, Severity::note,
                                     "the diaries are not compared: " + findings.testsAbsentBecause,
                                     "name a comparator that has a diary"));
    }
    addMissingDays(study, findings, problems);
    for (const DiaryRemark& remark : findings.runs.remarks) {
        Problem p = problemIn(study, remark.leftOut ? Severity::warning : Severity::note,
                              "subject " + remark.subject + ", " + remark.food + ": " + remark.what,
                              remark.leftOut ? "mend the row, or the planned days in study.json" : "");
        p.row = remark.row;
        p.subject = remark.subject;
        p.food = remark.food;
        problems.push_back(std::move(p));
    }
    addEvents(findings, problems);
    return problems;
}

std::optional<std::size_t> comparatorArmOf(const ToleranceFindings& findings, std::size_t arm) {
    const std::vector<DiaryArm>& arms = findings.runs.arms;
    if (findings.comparator.empty() || arms[arm].food == findings.comparator) {
        return std::nullopt;
    }
    std::optional<std::size_t> only;
    std::optional<std::size_t> sameDose;
    std::size_t count = 0;
    for (std::size_t i = 0; i < arms.size(); ++i) {
        if (arms[i].food == findings.comparator) {
            ++count;
            only = i;
            if (arms[i].doseG == arms[arm].doseG) {
                sameDose = i;
            }
        }
    }
    return count == 1 ? only : sameDose;
}

std::string armLabel(const Study& study, const DiaryArm& arm) {
    const std::string dose = doseText(arm.doseG);
    return labelOf(study, arm.food) + (dose.empty() ? "" : ", " + dose);
}

}  // namespace aftercurve
