#include "core/findings/index_findings.h"

#include <algorithm>

#include "core/base/number_text.h"
#include "core/curve/measures.h"
#include "core/findings/subject_values.h"
#include "core/index/index_standards.h"

namespace aftercurve {

namespace {

constexpr std::string_view standardMeasure = "area_positive_incremental";
constexpr double referenceCvLimitPercent = 30.0;

Problem problemOf(const IndexFinding& finding, Severity severity, std::string what, std::string remedy,
                  const std::string& subject = {}) {
    Problem p;
    p.severity = severity;
    p.subject = subject;
    p.food = finding.food;
    p.analyte = finding.analyte;
    p.what = "index of " + finding.food + " (" + finding.analyte + "): " + std::move(what);
    p.remedy = std::move(remedy);
    return p;
}

}  // namespace

std::vector<IndexFinding> indexFindings(const Study& study, const Plan& plan,
                                        std::span<const CurveFinding> curves) {
    std::vector<IndexFinding> findings;
    const std::string reference = indexReference(study, plan);
    if (!plan.index || reference.empty()) {
        return findings;
    }
    const std::size_t measure = *measureIndex(plan.measure);
    for (const Analyte& analyte : study.analytes) {
        const auto ofReference = subjectValues(study, curves, analyte.id, reference, measure);
        for (const Food& food : study.foods) {
            if (food.id == reference) {
                continue;
            }
            const auto ofFood = subjectValues(study, curves, analyte.id, food.id, measure);
            std::vector<IndexInput> inputs;
            for (std::size_t s = 0; s < study.subjects.size(); ++s) {
                inputs.push_back({study.subjects[s].id, ofFood[s].visits, ofReference[s].visits});
            }
            IndexFinding finding;
            finding.analyte = analyte.id;
            finding.measure = plan.measure;
            finding.food = food.id;
            finding.reference = reference;
            finding.index = foodIndex(inputs, plan.alpha, plan.indexOutlierRule);
            for (std::size_t s = 0; s < study.subjects.size(); ++s) {
                const std::string& why =
                    !ofFood[s].absentBecause.empty() ? ofFood[s].absentBecause : ofReference[s].absentBecause;
                if (!finding.index.subjects[s].value && !why.empty()) {
                    finding.index.subjects[s].absentBecause = why;
                }
            }
            if (analyte.id == "glucose" && plan.measure == standardMeasure && finding.index.mean) {
                const std::string word = indexClass(plan.indexPlan.standard, *finding.index.mean);
                finding.indexClass = word.empty() ? std::nullopt : std::optional{word};
            }
            findings.push_back(std::move(finding));
        }
    }
    return findings;
}

std::vector<Problem> problemsOf(const IndexFinding& finding, IndexOutlierRule rule, IndexStandard standard) {
    std::vector<Problem> problems;
    const IndexStandardRules& rules = rulesOf(standard);
    const std::string title{rules.title};
    const FoodIndex& index = finding.index;
    if (!index.mean) {
        problems.push_back(
            problemOf(finding, Severity::error, "not estimable, " + index.absentBecause,
                      "each subject needs the food and the reference food in a window that can be used"));
    } else if (rules.fewestSubjects && index.n < rules.fewestSubjects->value) {
        problems.push_back(problemOf(finding, Severity::warning,
                                     std::to_string(index.n) + " subjects; " + title + " asks for at least " +
                                         std::to_string(rules.fewestSubjects->value),
                                     "say so"));
    }
    for (const SubjectIndex& subject : index.subjects) {
        if (!subject.value) {
            problems.push_back(
                problemOf(finding, Severity::warning,
                          "no value for subject " + subject.subject + ", " + subject.absentBecause,
                          "say in the report who is left out and why", subject.subject));
        } else if (subject.outlier) {
            problems.push_back(problemOf(
                finding, Severity::note,
                "subject " + subject.subject + " with " + fixedNumber(*subject.value, 1) +
                    " lies outside mean ± 2 SD; " +
                    (subject.leftOut ? "left out by the plan's outlier rule" : "kept, as the plan says"),
                "", subject.subject));
        }
    }
    if (rule != IndexOutlierRule::none && index.n > 0) {
        problems.push_back(problemOf(finding, Severity::note,
                                     "outlier rule '" + std::string{wordFor(rule)} + "' was applied", ""));
    }
    if (index.mean && !index.referenceCvPercent) {
        problems.push_back(
            problemOf(finding, Severity::warning,
                      "no subject has two visits with the reference food, so its CV is unknown" +
                          (rules.referenceTests ? "; " + title + " asks for at least " +
                                                      std::to_string(rules.referenceTests->value.fewest)
                                                : std::string{}),
                      "plan repeats of the reference food"));
    } else if (index.referenceCvPercent && *index.referenceCvPercent > referenceCvLimitPercent) {
        problems.push_back(problemOf(finding, Severity::warning,
                                     "the reference food's mean within-subject CV is " +
                                         fixedNumber(*index.referenceCvPercent, 1) +
                                         " %, above 30 % (Wolever 2003)",
                                     "look for a visit that went wrong"));
    }
    if (finding.measure != standardMeasure) {
        problems.push_back(problemOf(finding, Severity::note,
                                     "computed from " + finding.measure + "; " + title +
                                         " takes the positive incremental area, so no class is given",
                                     ""));
    }
    return problems;
}

}  // namespace aftercurve
