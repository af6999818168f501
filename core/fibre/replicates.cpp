#include "core/fibre/replicates.h"

#include <algorithm>

#include "core/compare/descriptive.h"

namespace aftercurve {

namespace {

/// A rest of a decimal's rounding does not turn the verdict: 5.4 − 4.8 is 0.6000000000000005.
constexpr double guard = 1e-9;

bool within(double difference, double limit) {
    return difference <= limit + guard * (1.0 + limit);
}

PortionValue presentOr(const std::optional<double>& value, std::string_view because) {
    return value ? finitePortionValue(*value) : absentPortionValue(because);
}

RepeatabilityJudgement notJudged(std::string because) {
    RepeatabilityJudgement judgement;
    judgement.because = std::move(because);
    return judgement;
}

RepeatabilityJudgement judged(double range, double low, double high, std::string source) {
    RepeatabilityJudgement judgement;
    judgement.limitLowG = repeatabilityFactor * low;
    judgement.limitHighG = repeatabilityFactor * high;
    judgement.source = std::move(source);
    judgement.verdict = within(range, *judgement.limitLowG)    ? RepeatabilityVerdict::within
                        : within(range, *judgement.limitHighG) ? RepeatabilityVerdict::between
                                                               : RepeatabilityVerdict::beyond;
    return judgement;
}

}  // namespace

FibreReplicates fibreReplicates(std::span<const double> values) {
    FibreReplicates result;
    result.n = values.size();
    if (values.empty()) {
        result.mean = absentPortionValue("there is no determination");
        result.sd = result.cvPercent = result.range = result.mean;
        return result;
    }
    result.mean = presentOr(mean(values), "the numbers are too large");
    if (values.size() < 2) {
        result.sd = absentPortionValue("one determination has no spread");
        result.cvPercent = result.range = result.sd;
        return result;
    }
    result.sd = presentOr(sampleSd(values), "the numbers are too large");
    const auto [low, high] = std::minmax_element(values.begin(), values.end());
    result.range = finitePortionValue(*high - *low);
    if (!result.mean.value || !result.sd.value) {
        result.cvPercent = absentPortionValue("the numbers are too large");
    } else if (!(*result.mean.value > 0.0)) {
        result.cvPercent = absentPortionValue("the mean is 0");
    } else {
        result.cvPercent = finitePortionValue(100.0 * *result.sd.value / *result.mean.value);
    }
    return result;
}

std::string_view wordFor(RepeatabilityVerdict verdict) {
    switch (verdict) {
        case RepeatabilityVerdict::notJudged:
            return "not judged";
        case RepeatabilityVerdict::within:
            return "within";
        case RepeatabilityVerdict::between:
            return "between";
        case RepeatabilityVerdict::beyond:
            return "beyond";
    }
    return {};
}

RepeatabilityJudgement judgeRepeatability(const FibreReplicates& replicates, const FibreMethod* method,
                                          std::string_view fraction, const std::optional<double>& ownSdG) {
    if (replicates.n != 2 || !replicates.range.value || !replicates.mean.value) {
        return notJudged("the limit is one of two determinations");
    }
    const double range = *replicates.range.value;
    if (ownSdG) {
        return judged(range, *ownSdG, *ownSdG, "the laboratory's own s_r, as study.json gives it");
    }
    if (method == nullptr) {
        return notJudged("the method is not in the table");
    }
    if ((fraction != "total" && fraction != "resistant-starch") || !method->gives(fraction)) {
        return notJudged("no s_r of this fraction is at hand");
    }
    const PublishedRepeatability& published = method->repeatability;
    if (published.lowG && published.highG) {
        return judged(range, *published.lowG, *published.highG, std::string{published.source});
    }
    if (published.lowPercent && published.highPercent) {
        const double share = *replicates.mean.value / 100.0;
        return judged(range, *published.lowPercent * share, *published.highPercent * share,
                      std::string{published.source});
    }
    return notJudged("no s_r of this method is at hand; give repeatability_sd");
}

}  // namespace aftercurve
