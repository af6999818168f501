#include "core/findings/index_test_facts.h"

#include <algorithm>
#include <cmath>

#include "core/compare/descriptive.h"
#include "core/curve/measures.h"
#include "core/findings/subject_values.h"

namespace aftercurve {

namespace {

bool countsForGlucose(const CurveFinding& curve) {
    return curve.analyte == "glucose" && curve.counts();
}

bool hasSampleFor(const CurveFinding& curve, std::span<const double> asked, std::size_t which,
                  double toleranceMin) {
    return std::any_of(curve.scheduledMin.begin(), curve.scheduledMin.end(), [&](double timeMin) {
        const double distance = std::abs(timeMin - asked[which]);
        return distance <= toleranceMin && std::none_of(asked.begin(), asked.end(), [&](double other) {
                   return std::abs(timeMin - other) < distance;
               });
    });
}

}  // namespace

std::size_t fewestVisits(const IndexVisits& visits) {
    return visits.visits.empty() ? 0 : *std::min_element(visits.visits.begin(), visits.visits.end());
}

std::size_t subjectsWithAtLeast(const IndexVisits& visits, std::size_t wanted) {
    return static_cast<std::size_t>(std::count_if(visits.visits.begin(), visits.visits.end(),
                                                  [wanted](std::size_t n) { return n >= wanted; }));
}

IndexVisits indexVisits(const Study& study, const Plan& plan, std::span<const CurveFinding> curves,
                        const std::string& food, const std::vector<std::string>& kept) {
    IndexVisits result;
    const auto measure = measureIndex(plan.measure);
    if (!measure) {
        return result;
    }
    const auto values = subjectValues(study, curves, "glucose", food, *measure);
    for (std::size_t s = 0; s < study.subjects.size(); ++s) {
        const std::string& id = study.subjects[s].id;
        if (std::find(kept.begin(), kept.end(), id) != kept.end()) {
            result.subjects.push_back(id);
            result.visits.push_back(values[s].visits.size());
        }
    }
    return result;
}

std::vector<std::string> keptSubjects(const IndexFinding& finding) {
    std::vector<std::string> kept;
    for (const SubjectIndex& subject : finding.index.subjects) {
        if (subject.value && !subject.leftOut) {
            kept.push_back(subject.subject);
        }
    }
    return kept;
}

TimesPresent timesPresent(std::span<const CurveFinding> curves, std::span<const double> asked,
                          double toleranceMin) {
    TimesPresent present;
    present.with.resize(asked.size());
    for (const CurveFinding& curve : curves) {
        if (!countsForGlucose(curve)) {
            continue;
        }
        ++present.curves;
        for (std::size_t i = 0; i < asked.size(); ++i) {
            present.with[i] += hasSampleFor(curve, asked, i, toleranceMin) ? 1U : 0U;
        }
    }
    return present;
}

FastingSamples fastingSamples(std::span<const CurveFinding> curves, std::size_t wanted) {
    FastingSamples found;
    for (const CurveFinding& curve : curves) {
        if (!countsForGlucose(curve)) {
            continue;
        }
        const auto n = static_cast<std::size_t>(
            std::count_if(curve.timeMin.begin(), curve.timeMin.end(), [](double t) { return t <= 0.0; }));
        found.fewest = found.curves == 0 ? n : std::min(found.fewest, n);
        found.most = std::max(found.most, n);
        ++found.curves;
        found.withEnough += n >= wanted ? 1U : 0U;
        // Ascending: a single one at or before 0 is the first.
        found.zeroAlone += n == 1 && std::abs(curve.timeMin.front()) <= 0.0 ? 1U : 0U;
    }
    return found;
}

bool leftOutLieBeyond(const FoodIndex& index, double sds) {
    std::vector<double> all;
    for (const SubjectIndex& subject : index.subjects) {
        if (subject.value) {
            all.push_back(*subject.value);
        }
    }
    const auto centre = mean(all);
    const auto sd = sampleSd(all);
    return std::all_of(index.subjects.begin(), index.subjects.end(), [&](const SubjectIndex& subject) {
        return !subject.leftOut || !subject.value ||
               (centre && sd && std::abs(*subject.value - *centre) > sds * *sd);
    });
}

}  // namespace aftercurve
