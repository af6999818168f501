#include "core/study/sample_values.h"

#include <algorithm>
#include <cmath>
#include <string>

#include "core/base/number_text.h"
#include "core/study/laboratory_exclusion.h"

namespace aftercurve {

namespace {

constexpr double wholeBloodToPlasma = 1.11;

std::string rowName(const Study& study, const Draw& draw) {
    const std::string file = draw.file < study.sampleFiles.size() ? study.sampleFiles[draw.file] : "row";
    return file + ":" + std::to_string(draw.row);
}

std::string listedTimes(const std::vector<double>& times) {
    std::string text;
    for (std::size_t i = 0; i < times.size(); ++i) {
        text += (i == 0 ? "" : i + 1 == times.size() ? " and " : ", ") + plainNumber(times[i]);
    }
    return text + " min";
}

/// Reads the draws of one curve, time by time.
class SampleCollector {
  public:
    SampleCollector(const Study& study, const Plan& plan, CurveSeries& curve)
        : study_(study),
          plan_(plan),
          curve_(curve),
          factor_(specimenFactor(study.analytes[curve.analyte], plan)),
          plain_(study.belowLimit.empty() && study.nominalMin.empty() && study.replicate.empty()) {
        for (const Exclusion& exclusion : study.exclusions) {
            ofSamples_ = ofSamples_ || (exclusion.timeMin.has_value() && !isOfLaboratory(exclusion));
        }
    }

    void collect(std::span<const std::uint32_t> draws) {
        for (std::size_t first = 0; first < draws.size();) {
            const double time = timeOfDraw(study_, plan_, draws[first]);
            std::size_t last = first + 1;
            while (last < draws.size() && timeOfDraw(study_, plan_, draws[last]) == time) {
                ++last;
            }
            collectTime(time, draws.subspan(first, last - first));
            first = last;
        }
        // An analyte may stand in a row of its own: an empty cell is no gap where another row of that time
        // has the value.
        auto& missing = curve_.missingTimeMin;
        std::sort(missing.begin(), missing.end());
        missing.erase(std::unique(missing.begin(), missing.end()), missing.end());
        addNotes();
    }

  private:
    void collectTime(double time, std::span<const std::uint32_t> draws) {
        values_.clear();
        sources_.clear();
        double scheduled = time;
        for (const std::uint32_t draw : draws) {
            const auto nominal = nominalMinOf(study_, draw);
            if (nominal) {
                scheduled = *nominal;
            }
            if (const auto value = valueOf(draw, time)) {
                noteTime(time, draw, nominal);
                values_.push_back(*value * factor_);
                sources_.push_back(draw);
            }
        }
        if (values_.empty()) {
            curve_.missingTimeMin.push_back(scheduled);
            return;
        }
        if (values_.size() > 1 && !areDeterminations()) {
            if (curve_.flaw.empty()) {
                curve_.flaw = "two " + study_.analytes[curve_.analyte].id + " values at " +
                              plainNumber(time) + " min (" + rowName(study_, study_.draws[sources_[0]]) +
                              " and " + rowName(study_, study_.draws[sources_[1]]) + ")";
            }
            values_.resize(1);
        }
        if (values_.size() > 1) {
            ++averaged_;
        }
        double sum = 0.0;
        for (const double value : values_) {
            sum += value / static_cast<double>(values_.size());
        }
        curve_.timeMin.push_back(time);
        curve_.value.push_back(values_.size() == 1 ? values_.front() : sum);
        curve_.scheduledMin.push_back(scheduled);
    }

    /// Values of one time are determinations of one draw where each row has its own number.
    bool areDeterminations() const {
        if (study_.replicate.empty()) {
            return false;
        }
        for (std::size_t i = 0; i < sources_.size(); ++i) {
            for (std::size_t k = 0; k < i; ++k) {
                if (replicateOf(study_, sources_[i]) == replicateOf(study_, sources_[k])) {
                    return false;
                }
            }
        }
        return true;
    }

    std::optional<double> valueOf(std::uint32_t draw, double time) {
        const std::optional<double>& value = study_.concentrations[curve_.analyte][draw];
        // 0: none; a limit of quantification is above 0.
        const double limit = plain_ || value ? 0.0 : belowLimitAt(study_, draw, curve_.analyte).value_or(0.0);
        if (!value && limit == 0.0) {
            return std::nullopt;
        }
        if (ofSamples_) {
            for (const Exclusion& exclusion : study_.exclusions) {
                if (excludesSample(exclusion, study_, curve_, draw)) {
                    curve_.notes.push_back("the sample at " + plainNumber(time) + " min is excluded: " +
                                           (exclusion.reason.empty() ? "no reason given" : exclusion.reason));
                    return std::nullopt;
                }
            }
        }
        if (limit > 0.0) {
            belowLimit_.push_back(time);
            switch (plan_.belowLimit) {
                case BelowLimitRule::half:
                    return limit / 2.0;
                case BelowLimitRule::limit:
                    return limit;
                case BelowLimitRule::exclude:
                    return std::nullopt;
            }
        }
        return value;
    }

    void noteTime(double time, std::uint32_t draw, std::optional<double> nominal) {
        const double actual = study_.draws[draw].timeMin;
        if (!nominal) {
            return;
        }
        if (plan_.timeBasis == TimeBasis::nominal) {
            largestShift_ = std::max(largestShift_, std::abs(actual - time));
        } else if (actual != time) {
            lateFasting_.push_back(actual);
        }
    }

    void addNotes() {
        auto& notes = curve_.notes;
        if (!belowLimit_.empty()) {
            const bool one = belowLimit_.size() == 1;
            const std::string rule = plan_.belowLimit == BelowLimitRule::half    ? " as LOQ/2"
                                     : plan_.belowLimit == BelowLimitRule::limit ? " as the LOQ"
                                                                                 : " as missing";
            notes.push_back(std::to_string(belowLimit_.size()) +
                            (one ? " value below the limit of quantification (LOQ) counts"
                                 : " values below the limit of quantification (LOQ) count") +
                            rule + ": at " + listedTimes(belowLimit_));
        }
        if (averaged_ > 0) {
            notes.push_back(std::to_string(averaged_) +
                            (averaged_ == 1 ? " value is the mean of several determinations"
                                            : " values are means of several determinations"));
        }
        if (factor_ != 1.0 && !curve_.value.empty()) {
            notes.push_back("whole blood values × " + plainNumber(factor_) + " to plasma, as the plan asks");
        }
        for (const double actual : lateFasting_) {
            notes.push_back("the fasting sample drawn at " + plainNumber(actual) + " min counts at 0");
        }
        if (largestShift_ > 0.0) {
            notes.push_back("times are nominal; draws were made up to " + plainNumber(largestShift_) +
                            " min off");
        }
    }

    const Study& study_;
    const Plan& plan_;
    CurveSeries& curve_;
    double factor_;
    bool plain_;              ///< no assay rule can apply
    bool ofSamples_ = false;  ///< some exclusion names single samples
    std::vector<double> values_;
    std::vector<std::uint32_t> sources_;
    std::vector<double> belowLimit_;
    std::vector<double> lateFasting_;
    std::size_t averaged_ = 0;
    double largestShift_ = 0.0;
};

}  // namespace

double specimenFactor(const Analyte& analyte, const Plan& plan) {
    const bool wholeBlood = analyte.specimen.find("whole blood") != std::string::npos;
    return plan.wholeBloodToPlasma && analyte.id == "glucose" && wholeBlood ? wholeBloodToPlasma : 1.0;
}

double timeOfDraw(const Study& study, const Plan& plan, std::size_t draw) {
    const double actual = study.draws[draw].timeMin;
    if (study.nominalMin.empty() || !study.nominalMin[draw]) {
        return actual;
    }
    const double nominal = *study.nominalMin[draw];
    if (plan.timeBasis == TimeBasis::nominal) {
        return nominal;
    }
    return nominal <= 0.0 && actual > 0.0 ? 0.0 : actual;
}

void collectSamples(const Study& study, const Plan& plan, std::span<const std::uint32_t> draws,
                    CurveSeries& curve) {
    SampleCollector{study, plan, curve}.collect(draws);
}

}  // namespace aftercurve
