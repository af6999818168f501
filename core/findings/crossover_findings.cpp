#include "core/findings/crossover_findings.h"

#include <array>
#include <map>
#include <set>

#include "core/curve/measures.h"
#include "core/findings/findings.h"

namespace aftercurve {

namespace {

/// What one subject ate and gave in one period.
struct InPeriod {
    std::set<std::string> foods;
    std::vector<double> values;
};

using Periods = std::array<InPeriod, 2>;

/// Two foods, periods 1 and 2 and no other.
bool isTwoPeriodCrossover(const Study& study, const Plan& plan, std::span<const CurveFinding> curves) {
    if (study.foods.size() != 2 || !findFood(study, plan.comparator) || curves.empty()) {
        return false;
    }
    std::set<int> periods;
    for (const CurveFinding& curve : curves) {
        periods.insert(curve.period);
    }
    return periods == std::set<int>{1, 2};
}

std::optional<double> meanOf(const InPeriod& period) {
    if (period.values.empty()) {
        return std::nullopt;
    }
    double sum = 0.0;
    for (const double value : period.values) {
        sum += value / static_cast<double>(period.values.size());
    }
    return sum;
}

/// Which food a subject was given when, from all its curves, those that do not count too.
std::optional<CrossoverSequence> sequenceOf(const Periods& given, const std::string& food,
                                            const std::string& comparator) {
    const std::set<std::string> a{food};
    const std::set<std::string> b{comparator};
    const auto& first = given[0].foods;
    const auto& second = given[1].foods;
    if ((first == a && (second == b || second.empty())) || (first.empty() && second == b)) {
        return CrossoverSequence::ab;
    }
    if ((first == b && (second == a || second.empty())) || (first.empty() && second == a)) {
        return CrossoverSequence::ba;
    }
    return std::nullopt;
}

CrossoverFinding findingOf(const Study& study, const Plan& plan, std::span<const CurveFinding> curves,
                           const Analyte& analyte, std::size_t measure) {
    CrossoverFinding finding;
    finding.analyte = analyte.id;
    finding.measure = measureList()[measure].key;
    finding.unit = unitOf(measureList()[measure], analyte.unit);
    finding.comparator = plan.comparator;
    finding.food = study.foods[0].id == plan.comparator ? study.foods[1].id : study.foods[0].id;
    std::map<std::string, Periods> bySubject;
    for (const CurveFinding& curve : curves) {
        if (curve.analyte != analyte.id) {
            continue;
        }
        InPeriod& place = bySubject[curve.subject][static_cast<std::size_t>(curve.period - 1)];
        place.foods.insert(curve.food);
        if (curve.counts() && curve.measures[measure]) {
            place.values.push_back(*curve.measures[measure]);
        }
    }
    std::vector<CrossoverSubject> subjects;
    std::vector<CrossoverLeftOut> mixed;
    for (const Subject& subject : study.subjects) {
        const auto found = bySubject.find(subject.id);
        if (found == bySubject.end()) {
            mixed.push_back({subject.id, "no curve of this analyte"});
            continue;
        }
        const auto sequence = sequenceOf(found->second, finding.food, finding.comparator);
        if (!sequence) {
            mixed.push_back({subject.id, "not one food in period 1 and the other in period 2"});
            continue;
        }
        subjects.push_back({subject.id, *sequence, meanOf(found->second[0]), meanOf(found->second[1])});
    }
    finding.result = crossover(subjects, plan.alpha);
    finding.result.leftOut.insert(finding.result.leftOut.end(), mixed.begin(), mixed.end());
    return finding;
}

}  // namespace

std::vector<CrossoverFinding> crossoverFindings(const Study& study, const Plan& plan,
                                                std::span<const CurveFinding> curves) {
    std::vector<CrossoverFinding> findings;
    if (!isTwoPeriodCrossover(study, plan, curves)) {
        return findings;
    }
    for (const Analyte& analyte : study.analytes) {
        for (const std::string& key : comparedMeasures(plan)) {
            findings.push_back(findingOf(study, plan, curves, analyte, *measureIndex(key)));
        }
    }
    return findings;
}

std::vector<Problem> problemsOf(std::span<const CrossoverFinding> findings) {
    std::vector<Problem> problems;
    std::set<std::string> told;
    for (const CrossoverFinding& finding : findings) {
        for (const CrossoverLeftOut& left : finding.result.leftOut) {
            Problem p;
            p.severity = Severity::warning;
            p.subject = left.subject;
            p.analyte = finding.analyte;
            p.what = "subject " + left.subject + " is not in the two-period tests of " + finding.analyte +
                     ": " + left.reason;
            p.remedy = "read the mixed model beside it, which keeps every value that is there";
            if (told.insert(p.what).second) {
                problems.push_back(std::move(p));
            }
        }
    }
    return problems;
}

}  // namespace aftercurve
