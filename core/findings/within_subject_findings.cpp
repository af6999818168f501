#include "core/curve/measures.h"
#include "core/findings/curve_part_findings.h"
#include "core/findings/findings.h"

namespace aftercurve {

namespace {

/// Positions of the curves of one analyte and food that count, by subject.
using CurvesBySubject = std::vector<std::vector<std::size_t>>;

CurvesBySubject countedCurves(const Study& study, std::span<const CurveFinding> curves,
                              const std::string& analyte, const std::string& food) {
    CurvesBySubject bySubject(study.subjects.size());
    for (std::size_t c = 0; c < curves.size(); ++c) {
        if (curves[c].analyte == analyte && curves[c].food == food && curves[c].counts()) {
            bySubject[*findSubject(study, curves[c].subject)].push_back(c);
        }
    }
    return bySubject;
}

WithinSubjectFinding findingOf(const Study& study, std::span<const CurveFinding> curves,
                               const CurvesBySubject& bySubject, std::size_t measure) {
    WithinSubjectFinding finding;
    std::vector<std::vector<double>> values(bySubject.size());
    for (std::size_t s = 0; s < bySubject.size(); ++s) {
        for (const std::size_t c : bySubject[s]) {
            if (const auto& value = curves[c].measures[measure]) {
                values[s].push_back(*value);
                finding.visits.push_back({study.subjects[s].id, curves[c].visit, *value, 0.0, false});
            }
        }
    }
    finding.result = withinSubject(values);
    if (finding.result.repeated == 0) {
        finding.visits.clear();
        return finding;
    }
    std::size_t next = 0;
    for (const std::vector<double>& ofSubject : values) {
        double sum = 0.0;
        for (const double value : ofSubject) {
            sum += value / static_cast<double>(ofSubject.size());
        }
        for (std::size_t k = 0; k < ofSubject.size(); ++k, ++next) {
            finding.visits[next].subjectMean = sum;
            finding.visits[next].repeated = ofSubject.size() > 1;
        }
    }
    return finding;
}

}  // namespace

std::vector<WithinSubjectFinding> withinSubjectFindings(const Study& study, const Plan& plan,
                                                        std::span<const CurveFinding> curves) {
    std::vector<WithinSubjectFinding> findings;
    const auto list = measureList();
    for (const Analyte& analyte : study.analytes) {
        for (const Food& food : study.foods) {
            const CurvesBySubject bySubject = countedCurves(study, curves, analyte.id, food.id);
            for (const std::string& key : comparedMeasures(plan)) {
                const std::size_t measure = *measureIndex(key);
                WithinSubjectFinding finding = findingOf(study, curves, bySubject, measure);
                if (finding.result.values == 0) {
                    continue;
                }
                finding.analyte = analyte.id;
                finding.food = food.id;
                finding.measure = key;
                finding.unit = unitOf(list[measure], analyte.unit);
                findings.push_back(std::move(finding));
            }
        }
    }
    return findings;
}

}  // namespace aftercurve
