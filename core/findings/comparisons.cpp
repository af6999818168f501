#include "core/findings/comparisons.h"

#include <set>

#include "core/compare/descriptive.h"
#include "core/curve/measures.h"
#include "core/findings/adjusted_p.h"
#include "core/findings/subject_values.h"

namespace aftercurve {

namespace {

ComparisonFinding compared(const Study& study, const Plan& plan, std::span<const CurveFinding> curves,
                           const Analyte& analyte, const Food& food, std::size_t measure,
                           std::span<const SubjectValue> ofComparator) {
    ComparisonFinding finding;
    finding.analyte = analyte.id;
    finding.measure = measureList()[measure].key;
    finding.unit = unitOf(measureList()[measure], analyte.unit);
    finding.food = food.id;
    finding.comparator = plan.comparator;

    const auto ofFood = subjectValues(study, curves, analyte.id, food.id, measure);
    std::vector<double> a;
    std::vector<double> b;
    for (std::size_t s = 0; s < study.subjects.size(); ++s) {
        if (ofFood[s].mean && ofComparator[s].mean) {
            a.push_back(*ofFood[s].mean);
            b.push_back(*ofComparator[s].mean);
            finding.pairs.push_back({study.subjects[s].id, a.back(), b.back(), a.back() - b.back()});
        } else {
            std::string reason = ofFood[s].absentBecause;
            if (!ofComparator[s].absentBecause.empty()) {
                reason += (reason.empty() ? "" : "; ") + ofComparator[s].absentBecause;
            }
            finding.leftOut.push_back({study.subjects[s].id, std::move(reason)});
        }
    }
    finding.foodMean = mean(a);
    finding.comparatorMean = mean(b);
    const Differences differences = pairedDifferences(a, b);
    finding.t = pairedT(differences, plan.alpha);
    finding.signedRank = signedRank(differences);
    finding.hodgesLehmann = hodgesLehmann(differences, plan.alpha);
    finding.effect = effectSize(differences);
    finding.normality = shapiroWilk(differences.value, differences.resolution);
    return finding;
}

void adjust(Multiplicity rule, std::span<ComparisonFinding> family) {
    std::vector<std::optional<double>> p;
    for (const ComparisonFinding& finding : family) {
        p.push_back(finding.t.p);
    }
    p = adjustedP(rule, p);
    for (std::size_t i = 0; i < family.size(); ++i) {
        family[i].pAdjusted = p[i];
    }
}

}  // namespace

std::vector<ComparisonFinding> comparisonsOf(const Study& study, const Plan& plan,
                                             std::span<const CurveFinding> curves) {
    std::vector<ComparisonFinding> findings;
    if (!findFood(study, plan.comparator)) {
        return findings;
    }
    for (const Analyte& analyte : study.analytes) {
        for (const std::string& key : comparedMeasures(plan)) {
            const std::size_t measure = *measureIndex(key);
            const auto ofComparator = subjectValues(study, curves, analyte.id, plan.comparator, measure);
            const std::size_t familyStart = findings.size();
            for (const Food& food : study.foods) {
                if (food.id != plan.comparator) {
                    findings.push_back(compared(study, plan, curves, analyte, food, measure, ofComparator));
                }
            }
            adjust(plan.multiplicity, std::span{findings}.subspan(familyStart));
        }
    }
    return findings;
}

std::vector<Problem> problemsOf(std::span<const ComparisonFinding> comparisons) {
    std::vector<Problem> problems;
    std::set<std::string> told;
    for (const ComparisonFinding& comparison : comparisons) {
        const std::string foods =
            comparison.food + " against " + comparison.comparator + ", " + comparison.analyte;
        const auto add = [&](Severity severity, const std::string& subject, std::string what,
                             std::string remedy) {
            Problem p;
            p.severity = severity;
            p.subject = subject;
            p.food = comparison.food;
            p.analyte = comparison.analyte;
            p.what = std::move(what);
            p.remedy = std::move(remedy);
            problems.push_back(std::move(p));
        };
        for (const LeftOutPair& pair : comparison.leftOut) {
            std::string what =
                "subject " + pair.subject + " is not in the comparison of " + foods + ": " + pair.reason;
            if (told.insert(what).second) {
                add(Severity::warning, pair.subject, std::move(what),
                    "say in the report who is left out and why");
            }
        }
        if (!comparison.t.p) {
            add(Severity::error, "",
                "no test for " + foods + ", " + measureLabel(comparison.measure) + ": " +
                    comparison.t.absentBecause,
                "at least two subjects with both foods, and differences that are not all equal, are needed");
        }
    }
    return problems;
}

}  // namespace aftercurve
