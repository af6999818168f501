#include "core/findings/digestion_findings.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "core/base/number_text.h"
#include "core/compare/descriptive.h"
#include "core/study/laboratory_counted.h"

namespace aftercurve {

namespace {

/// Largest number of values that are compared: the work grows with its product with samples and runs.
constexpr std::size_t mostCompared = 5000;
constexpr std::size_t mostRuns = 200;

std::vector<CurvePoint> curveOf(const Digestion& digestion) {
    std::vector<CurvePoint> curve;
    for (const DigestPoint& point : digestion.points) {
        if (point.starchPercent.value) {
            curve.push_back({point.timeMin, *point.starchPercent.value});
        }
    }
    return curve;
}

std::string whyNoCurve(const Digestion& digestion) {
    for (const DigestPoint& point : digestion.points) {
        if (!point.starchPercent.value) {
            return point.starchPercent.absentBecause;
        }
    }
    return "there is no reading";
}

DigestionReplicate replicateOf(const AssayData& assays, const Digestion& digestion,
                               const DigestionFindings& findings, double alpha) {
    DigestionReplicate replicate;
    replicate.sample = assays.samples[digestion.sample].id;
    replicate.digestion = digestion;
    replicate.fractions = fractionsOf(assays, digestion, findings.cuts);
    const std::vector<CurvePoint> curve = curveOf(digestion);
    FitOptions options;
    options.alpha = alpha;
    replicate.fits = chooseFit(curve, options);
    const DigestionFit& onePhase = replicate.fits.candidates.front();
    const auto rate = onePhase.estimate("k");
    if (curve.empty()) {
        replicate.rate = DigestValue::none(whyNoCurve(digestion));
        replicate.area = replicate.rate;
        return replicate;
    }
    replicate.rate = rate ? DigestValue::of(*rate) : DigestValue::none(onePhase.absentBecause);
    replicate.area = findings.untilMin ? trapezoidArea(curve, *findings.untilMin, assays.interpolate)
                                       : DigestValue::none("the digestions share no time");
    return replicate;
}

void addCurve(std::span<const DigestionReplicate* const> replicates, DigestionSample& sample) {
    std::map<double, std::vector<double>> byTime;
    for (const DigestionReplicate* replicate : replicates) {
        for (const CurvePoint& point : curveOf(replicate->digestion)) {
            byTime[point.timeMin].push_back(point.value);
        }
    }
    for (const auto& [time, values] : byTime) {
        const auto average = mean(values);
        if (!average) {
            continue;
        }
        sample.curve.push_back({time, values.size(), *average, sampleSd(values)});
        if (values.size() != replicates.size()) {
            sample.notShared.push_back(time);
        }
    }
    if (sample.curve.empty()) {
        sample.absentBecause =
            replicates.empty() ? "there is no digestion of it" : whyNoCurve(replicates.front()->digestion);
    }
}

/// A sample may be without a digestion because all are excluded.
void sayWhyAllExcluded(const Study& study, const AssaySample& declared, DigestionSample& sample) {
    const std::string why = whyAllExcluded(study, declared);
    if (why.empty()) {
        return;
    }
    sample.absentBecause = why;
    for (FractionSummary& summary : sample.fractions) {
        summary.absentBecause = why;
    }
}

DigestionSample sampleOf(const Study& study, std::size_t index,
                         std::span<const DigestionReplicate* const> replicates,
                         const DigestionFindings& findings, double alpha) {
    const AssayData& assays = study.assays;
    const AssaySample& declared = assays.samples[index];
    DigestionSample sample;
    sample.sample = declared.id;
    sample.label = declared.label.empty() ? declared.id : declared.label;
    sample.food = declared.food;
    sample.reference = declared.reference;
    sample.digestions = replicates.size();
    std::set<std::string> runs;
    for (const DigestionReplicate* replicate : replicates) {
        runs.insert(replicate->digestion.run);
    }
    sample.runs = runs.size();
    for (const StarchFraction fraction : starchFractions) {
        for (const AssayBasis basis : assayBases) {
            std::vector<DigestValue> values;
            for (const DigestionReplicate* replicate : replicates) {
                values.push_back(replicate->fractions.at(fraction, basis));
            }
            sample.fractions.push_back(summaryOf(assays, index, fraction, basis, values));
        }
    }
    addCurve(replicates, sample);
    if (replicates.empty()) {
        sayWhyAllExcluded(study, declared, sample);
    }
    std::vector<CurvePoint> shared;
    for (const DigestionMean& point : sample.curve) {
        if (point.n == replicates.size()) {
            shared.push_back({point.timeMin, point.mean});
        }
    }
    FitOptions options;
    options.alpha = alpha;
    sample.fits = chooseFit(shared, options);
    sample.slopes = logOfSlope(shared);
    if (!findings.untilMin || sample.curve.empty()) {
        const DigestValue none = DigestValue::none(
            sample.absentBecause.empty() ? "the digestions share no time" : sample.absentBecause);
        sample.area = none;
        sample.fittedArea = none;
        return sample;
    }
    sample.area = trapezoidArea(shared, *findings.untilMin, assays.interpolate);
    if (!sample.fits.chosen) {
        sample.fittedArea = DigestValue::none(sample.fits.why);
    } else if (const DigestionFit& fit = sample.fits.candidates[*sample.fits.chosen];
               fit.lastMin < *findings.untilMin) {
        sample.fittedArea = DigestValue::none("the curve ends at " + plainNumber(fit.lastMin) +
                                              " min, before " + plainNumber(*findings.untilMin) + " min");
    } else {
        sample.fittedArea = DigestValue::of(fittedArea(fit, *findings.untilMin));
    }
    return sample;
}

/// Mean and standard error of the trapezoid areas of a sample's digestions.
struct MeanArea {
    double mean = 0.0;
    double se = 0.0;
};

std::optional<MeanArea> meanArea(const DigestionFindings& findings, const std::string& sample) {
    std::vector<double> areas;
    for (const DigestionReplicate& replicate : findings.replicates) {
        if (replicate.sample == sample && replicate.area.value) {
            areas.push_back(*replicate.area.value);
        }
    }
    const auto average = mean(areas);
    const auto sd = sampleSd(areas);
    if (!average || !sd) {
        return std::nullopt;
    }
    return MeanArea{*average, *sd / std::sqrt(static_cast<double>(areas.size()))};
}

void addIndices(DigestionFindings& findings) {
    const DigestionSample* reference = nullptr;
    for (const DigestionSample& sample : findings.bySample) {
        reference = sample.reference ? &sample : reference;
    }
    const DigestionSample ofReference = reference != nullptr ? *reference : DigestionSample{};
    const auto referenceArea =
        reference != nullptr ? meanArea(findings, ofReference.sample) : std::optional<MeanArea>{};
    for (DigestionSample& sample : findings.bySample) {
        if (reference == nullptr) {
            sample.hydrolysisIndex = DigestValue::none("no sample is the reference");
        } else if (sample.fittedArea.value && ofReference.fittedArea.value) {
            sample.hydrolysisIndex = hydrolysisIndex(sample.fittedArea, ofReference.fittedArea);
            sample.hydrolysisFrom = "fitted curves";
        } else {
            sample.hydrolysisIndex = hydrolysisIndex(sample.area, ofReference.area);
            sample.hydrolysisFrom = "trapezoids";
        }
        if (!sample.hydrolysisIndex.value) {
            sample.hydrolysisFrom.clear();
        } else if (!sample.reference && referenceArea) {
            if (const auto area = meanArea(findings, sample.sample)) {
                sample.hydrolysisSe =
                    hydrolysisIndexSe(area->mean, area->se, referenceArea->mean, referenceArea->se);
            }
        }
        for (const IndexEquation& equation : indexEquations()) {
            sample.estimatedIndex.push_back(estimatedIndex(equation, sample.hydrolysisIndex));
        }
    }
}

std::string nameOf(const DigestionReplicate& replicate) {
    return replicate.sample + ", run " + replicate.digestion.run + ", replicate " +
           std::to_string(replicate.digestion.replicate);
}

class Comparing {
  public:
    Comparing(const AssayData& assays, DigestionFindings& findings, double alpha) : findings_(findings) {
        options_.alpha = alpha;
        options_.family = assays.comparison == "dunnett" ? OneWayFamily::dunnett
                          : assays.comparison == "tukey" ? OneWayFamily::tukey
                                                         : OneWayFamily::none;
        options_.control = referenceSample(assays);
        std::set<std::string> runs;
        for (const DigestionReplicate& replicate : findings.replicates) {
            runs.insert(replicate.digestion.run);
        }
        for (const std::string& run : runs) {
            blocks_.emplace(run, blocks_.size());
        }
    }

    void add() {
        if (findings_.bySample.size() < 2 || findings_.replicates.empty()) {
            return;
        }
        const std::string unit{unitOf(findings_.basis)};
        for (const StarchFraction fraction :
             {StarchFraction::rapidly, StarchFraction::slowly, StarchFraction::resistant}) {
            compare(std::string{keyOf(fraction)}, std::string{labelOf(fraction)}, unit,
                    [&](const DigestionReplicate& replicate) -> const DigestValue& {
                        return replicate.fractions.at(fraction, findings_.basis);
                    });
        }
        compare("k", "Rate constant of the one-phase curve", "1/min",
                [](const DigestionReplicate& replicate) -> const DigestValue& { return replicate.rate; });
        compare("area", "Area under the digestion curve", "% × min",
                [](const DigestionReplicate& replicate) -> const DigestValue& { return replicate.area; });
    }

  private:
    template <class Of>
    void compare(std::string key, std::string label, std::string unit, Of of) {
        DigestionComparison comparison;
        comparison.key = std::move(key);
        comparison.label = std::move(label);
        comparison.unit = std::move(unit);
        std::vector<OneWayRow> rows;
        for (const DigestionReplicate& replicate : findings_.replicates) {
            const DigestValue& value = of(replicate);
            if (value.value) {
                rows.push_back(
                    {replicate.digestion.sample, blocks_.at(replicate.digestion.run), *value.value});
            } else {
                comparison.leftOut.push_back(nameOf(replicate) + ": " + value.absentBecause);
            }
        }
        if (rows.size() > mostCompared || blocks_.size() > mostRuns) {
            comparison.test.n = rows.size();
            comparison.test.absentBecause = "more than 5000 digestions or 200 runs are not compared";
        } else {
            comparison.test = oneWay(rows, options_);
        }
        findings_.comparisons.push_back(std::move(comparison));
    }

    DigestionFindings& findings_;
    OneWayOptions options_;
    std::map<std::string, std::size_t> blocks_;
};

}  // namespace

DigestionFindings digestionFindings(const Study& study, const Plan& plan) {
    DigestionFindings findings;
    findings.basis = study.assays.basis;
    findings.family = study.assays.comparison;
    if (study.assays.samples.empty() || !validate(study.assays).empty()) {
        return findings;
    }
    Counted<AssayData> counted = countedAssays(study);
    findings.excluded = std::move(counted.leftOut);
    const AssayData& assays = counted.of(study.assays);
    const std::vector<Digestion> digestions = digestionsOf(assays);
    findings.cuts = cutsOf(assays, digestions);
    findings.untilMin = commonLastMin(assays, digestions);
    if (const auto reference = referenceSample(assays)) {
        findings.reference = assays.samples[*reference].id;
    }
    for (const Digestion& digestion : digestions) {
        findings.replicates.push_back(replicateOf(assays, digestion, findings, plan.alpha));
    }
    std::vector<std::vector<const DigestionReplicate*>> ofSample(assays.samples.size());
    for (const DigestionReplicate& replicate : findings.replicates) {
        ofSample[replicate.digestion.sample].push_back(&replicate);
    }
    for (std::size_t i = 0; i < assays.samples.size(); ++i) {
        findings.bySample.push_back(sampleOf(study, i, ofSample[i], findings, plan.alpha));
    }
    addIndices(findings);
    Comparing{assays, findings, plan.alpha}.add();
    return findings;
}

}  // namespace aftercurve
