// What a person should look at in the assays.
#include <algorithm>
#include <set>

#include "core/base/number_text.h"
#include "core/files/excerpt.h"
#include "core/findings/digestion_findings.h"
#include "core/study/laboratory_counted.h"

namespace aftercurve {

namespace {

constexpr std::size_t mostNamed = 10;

class Problems {
  public:
    Problems(const Study& study, const DigestionFindings& findings) : study_(study), findings_(findings) {}

    std::vector<Problem> list() {
        for (const AssayFault& fault : validate(study_.assays)) {
            Problem& problem = add(Severity::error, "assays." + fault.key + " " + fault.what, fault.remedy);
            problem.file = "study.json";
            problem.column = "assays." + fault.key;
        }
        if (!findings_.bySample.empty()) {
            addBlanks();
        }
        for (const DigestionSample& sample : findings_.bySample) {
            addSample(sample);
        }
        for (const DigestionComparison& comparison : findings_.comparisons) {
            addComparison(comparison);
        }
        if (!findings_.bySample.empty() && findings_.reference.empty()) {
            add(Severity::note, "no sample of the assays is the reference: there is no hydrolysis index",
                "mark one sample with \"reference\": true");
        }
        return std::move(problems_);
    }

  private:
    Problem& add(Severity severity, std::string what, std::string remedy) {
        Problem& problem = problems_.emplace_back();
        problem.severity = severity;
        problem.file = study_.assays.file;
        problem.what = std::move(what);
        problem.remedy = std::move(remedy);
        return problem;
    }

    Problem& addFor(const DigestionSample& sample, Severity severity, const std::string& what,
                    std::string remedy) {
        Problem& problem =
            add(severity, "digestion of " + quote(sample.sample) + ": " + what, std::move(remedy));
        problem.food = sample.food;
        return problem;
    }

    void addBlanks() {
        std::set<std::string> with;
        std::set<std::string> without;
        for (const DigestionReplicate& replicate : findings_.replicates) {
            (replicate.digestion.blankSubtracted ? with : without).insert(replicate.digestion.run);
        }
        if (!with.empty() && !without.empty()) {
            add(Severity::warning,
                "some runs have blanks and some, such as " + quote(*without.begin()) +
                    ", have none: nothing is subtracted there",
                "add the blanks of every run");
        }
        std::size_t named = 0;
        for (const DigestionReplicate& replicate : findings_.replicates) {
            for (const DigestPoint& point : replicate.digestion.points) {
                if (replicate.digestion.blankSubtracted && point.value && !point.blank) {
                    ++named;
                    if (named <= mostNamed) {
                        Problem& problem =
                            add(Severity::warning,
                                "the reading of " + quote(replicate.sample) + " cannot be used: its run " +
                                    quote(replicate.digestion.run) + " has no usable blank at " +
                                    plainNumber(point.timeMin) + " min",
                                "add the blank");
                        problem.row = point.row;
                        problem.timeMin = point.timeMin;
                    }
                }
            }
        }
        if (named > mostNamed) {
            add(Severity::warning,
                std::to_string(named - mostNamed) + " further readings have no blank of their run and time",
                "add the blanks");
        }
    }

    void addSample(const DigestionSample& sample) {
        if (sample.digestions == 0) {
            const bool excluded = !findings_.excluded.empty() && !whyAllExcludedOf(sample).empty();
            addFor(
                sample, Severity::warning, excluded ? sample.absentBecause : "there are no readings of it",
                excluded ? "digest it again, or look at the exclusions" : "add them, or take the sample out");
            return;
        }
        addFractions(sample);
        addRange(sample);
        if (!sample.absentBecause.empty()) {
            addFor(sample, Severity::warning, "there is no curve: " + sample.absentBecause,
                   "complete study.json or the readings");
        } else if (!sample.fits.chosen) {
            addFor(sample, Severity::warning, "no curve could be fitted: " + sample.fits.why,
                   "look at the readings; fractions and trapezoids do not need the fit");
        }
        if (!sample.notShared.empty()) {
            addFor(sample, Severity::note,
                   std::to_string(sample.notShared.size()) +
                       (sample.notShared.size() == 1 ? " time is" : " times are") +
                       " not shared by all its digestions and left out of the fit and area of the mean "
                       "curve, the first " +
                       plainNumber(sample.notShared.front()) + " min",
                   "");
        }
        if (sample.slopes.withoutLog > 0) {
            addFor(sample, Severity::note,
                   std::to_string(sample.slopes.withoutLog) +
                       " of its slopes not above 0 and without a logarithm; left out of the lines",
                   "");
        }
    }

    std::string whyAllExcludedOf(const DigestionSample& sample) const {
        const auto declared = findAssaySample(study_.assays, sample.sample);
        return declared ? whyAllExcluded(study_, study_.assays.samples[*declared]) : std::string{};
    }

    void addFractions(const DigestionSample& sample) {
        std::set<std::string> said;
        for (const FractionSummary& summary : sample.fractions) {
            if (summary.basis != findings_.basis) {
                continue;
            }
            const bool beyond =
                summary.fraction == StarchFraction::late || summary.fraction == StarchFraction::remainder;
            if (summary.absent > 0 && !beyond && said.insert(summary.absentBecause).second) {
                addFor(sample, Severity::warning,
                       std::string{labelOf(summary.fraction)} + " is absent in " +
                           std::to_string(summary.absent) + " of " + std::to_string(sample.digestions) +
                           ": " + summary.absentBecause,
                       "complete the readings or study.json");
            }
            for (const std::string& note : summary.notes) {
                if (said.insert(note).second) {
                    addFor(sample, Severity::note, note, "");
                }
            }
            if (summary.mean && *summary.mean < 0.0) {
                addFor(sample, Severity::warning,
                       std::string{labelOf(summary.fraction)} + " is below 0: " +
                           fixedNumber(*summary.mean, 2) + " " + std::string{unitOf(summary.basis)},
                       "check total starch, free glucose, blanks and masses");
            }
        }
    }

    void addRange(const DigestionSample& sample) {
        const auto most =
            std::max_element(sample.curve.begin(), sample.curve.end(),
                             [](const DigestionMean& a, const DigestionMean& b) { return a.mean < b.mean; });
        if (most != sample.curve.end() && most->mean > 100.0) {
            Problem& problem = addFor(sample, Severity::warning,
                                      fixedNumber(most->mean, 1) + " % of its total starch are digested at " +
                                          plainNumber(most->timeMin) + " min, more than there is",
                                      "check total starch, free glucose, blanks and masses");
            problem.timeMin = most->timeMin;
        }
        if (sample.fits.chosen) {
            const DigestionFit& fit = sample.fits.candidates[*sample.fits.chosen];
            const double plateau = fit.estimate("c0").value_or(0.0) + fit.estimate("cinf").value_or(0.0) +
                                   fit.estimate("cinf_1").value_or(0.0) +
                                   fit.estimate("cinf_2").value_or(0.0);
            if (plateau > 100.0) {
                addFor(sample, Severity::warning,
                       "the plateau of its curve, " + fixedNumber(plateau, 1) +
                           " % of total starch, is more than there is",
                       "read longer: the plateau lies beyond the last reading, or total starch is too low");
            }
        }
    }

    void addComparison(const DigestionComparison& comparison) {
        if (!comparison.test.absentBecause.empty()) {
            add(Severity::warning,
                comparison.label + " of the samples could not be compared: " + comparison.test.absentBecause,
                "");
        } else if (!comparison.leftOut.empty()) {
            add(Severity::warning,
                comparison.label + ": " + std::to_string(comparison.leftOut.size()) +
                    (comparison.leftOut.size() == 1 ? " digestion is" : " digestions are") +
                    " not in the comparison, the first " + comparison.leftOut.front(),
                "complete the readings");
        }
    }

    const Study& study_;
    const DigestionFindings& findings_;
    std::vector<Problem> problems_;
};

}  // namespace

std::vector<Problem> problemsOf(const Study& study, const DigestionFindings& findings) {
    return Problems{study, findings}.list();
}

}  // namespace aftercurve
