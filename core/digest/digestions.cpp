#include "core/digest/digestions.h"

#include <algorithm>
#include <map>
#include <set>
#include <tuple>
#include <utility>

#include "core/base/number_text.h"
#include "core/compare/descriptive.h"

namespace aftercurve {

namespace {

using RunTime = std::pair<std::string, double>;

std::map<RunTime, std::vector<double>> blanksOf(const AssayData& assays) {
    std::map<RunTime, std::vector<double>> blanks;
    for (const AssayReading& reading : assays.readings) {
        if (reading.blank && reading.value) {
            blanks[{reading.run, reading.timeMin}].push_back(*reading.value);
        }
    }
    // Rows may come in any order.
    for (auto& [place, values] : blanks) {
        std::sort(values.begin(), values.end());
    }
    return blanks;
}

/// The blank to subtract, or why it is not known.
struct Blank {
    std::optional<double> value;
    std::string absentBecause;
};

DigestValue netValue(const AssayReading& reading, const Blank& blank) {
    if (!reading.value) {
        return DigestValue::none(reading.flaw.empty() ? "there is no value" : reading.flaw);
    }
    if (!blank.absentBecause.empty()) {
        return DigestValue::none(blank.absentBecause);
    }
    return DigestValue::of(*reading.value - blank.value.value_or(0.0));
}

void addGlucose(const AssayData& assays, const AssaySample& sample, const AssayReading& reading,
                const DigestValue& net, DigestPoint& point) {
    if (!net.value) {
        point.glucosePer100G = net;
    } else if (!reading.sampleMassMg) {
        point.glucosePer100G =
            DigestValue::none(reading.flaw.empty() ? "sample_mass_mg is not given" : reading.flaw);
    } else {
        point.glucosePer100G = DigestValue::of(100.0 * *net.value / *reading.sampleMassMg);
    }
    if (!point.glucosePer100G.value) {
        point.starchPer100G = point.glucosePer100G;
    } else if (!sample.freeGlucosePercent) {
        point.starchPer100G = DigestValue::none("free_glucose_percent of the sample is not given");
    } else {
        point.starchPer100G = DigestValue::of(assays.glucoseToStarch *
                                              (*point.glucosePer100G.value - *sample.freeGlucosePercent));
    }
    if (!point.starchPer100G.value) {
        point.starchPercent = point.starchPer100G;
    } else if (sample.totalStarchPercent.value_or(0.0) <= 0.0) {
        point.starchPercent =
            DigestValue::none(sample.totalStarchPercent ? "the sample has no starch"
                                                        : "total_starch_percent of the sample is not given");
    } else {
        point.starchPercent =
            DigestValue::of(100.0 * *point.starchPer100G.value / *sample.totalStarchPercent);
    }
}

void addPercent(const AssaySample& sample, const DigestValue& net, DigestPoint& point) {
    point.starchPercent = net;
    point.glucosePer100G = DigestValue::none("the readings are starch, not glucose");
    if (!net.value) {
        point.starchPer100G = net;
    } else if (!sample.totalStarchPercent) {
        point.starchPer100G = DigestValue::none("total_starch_percent of the sample is not given");
    } else {
        point.starchPer100G = DigestValue::of(*net.value * *sample.totalStarchPercent / 100.0);
    }
}

}  // namespace

std::vector<Digestion> digestionsOf(const AssayData& assays) {
    const auto blanks = blanksOf(assays);
    std::set<std::string> runsWithBlanks;
    for (const AssayReading& reading : assays.readings) {
        if (reading.blank) {
            runsWithBlanks.insert(reading.run);
        }
    }
    std::map<std::tuple<std::size_t, std::string, int>, Digestion> digestions;
    for (const AssayReading& reading : assays.readings) {
        const auto sample = findAssaySample(assays, reading.sample);
        if (reading.blank || !sample) {
            continue;
        }
        Digestion& digestion = digestions[{*sample, reading.run, reading.replicate}];
        digestion.sample = *sample;
        digestion.run = reading.run;
        digestion.replicate = reading.replicate;
        digestion.blankSubtracted = runsWithBlanks.contains(reading.run);
        Blank blank;
        if (digestion.blankSubtracted) {
            const auto found = blanks.find({reading.run, reading.timeMin});
            if (found == blanks.end()) {
                blank.absentBecause =
                    "run " + reading.run + " has no usable blank at " + plainNumber(reading.timeMin) + " min";
            } else {
                blank.value = mean(found->second);
            }
        }
        DigestPoint point;
        point.timeMin = reading.timeMin;
        point.value = reading.value;
        point.blank = blank.value;
        point.row = reading.row;
        const DigestValue net = netValue(reading, blank);
        if (assays.quantity == AssayQuantity::glucoseMg) {
            addGlucose(assays, assays.samples[*sample], reading, net, point);
        } else {
            addPercent(assays.samples[*sample], net, point);
        }
        digestion.points.push_back(std::move(point));
    }
    std::vector<Digestion> list;
    for (auto& [place, digestion] : digestions) {
        std::sort(digestion.points.begin(), digestion.points.end(),
                  [](const DigestPoint& a, const DigestPoint& b) { return a.timeMin < b.timeMin; });
        list.push_back(std::move(digestion));
    }
    return list;
}

std::optional<double> commonLastMin(const AssayData& assays, const std::vector<Digestion>& digestions) {
    if (assays.lastMin > 0.0) {
        return assays.lastMin;
    }
    std::map<double, std::size_t> have;
    for (const Digestion& digestion : digestions) {
        for (const DigestPoint& point : digestion.points) {
            have[point.timeMin] += point.starchPercent.value || point.glucosePer100G.value ? 1U : 0U;
        }
    }
    for (auto at = have.rbegin(); at != have.rend(); ++at) {
        if (at->second == digestions.size() && !digestions.empty()) {
            return at->first;
        }
    }
    return std::nullopt;
}

DigestValue valueAt(const Digestion& digestion, DigestValue DigestPoint::*quantity, double timeMin,
                    bool interpolate) {
    const DigestPoint* before = nullptr;
    const DigestPoint* after = nullptr;
    std::string reason;
    for (const DigestPoint& point : digestion.points) {
        if (point.timeMin == timeMin) {
            if ((point.*quantity).value) {
                return point.*quantity;
            }
            reason = (point.*quantity).absentBecause;
        }
        if (!(point.*quantity).value) {
            continue;
        }
        if (point.timeMin < timeMin) {
            before = &point;
        } else if (point.timeMin > timeMin && after == nullptr) {
            after = &point;
        }
    }
    const std::string at = plainNumber(timeMin) + " min";
    if (interpolate && before != nullptr && after != nullptr) {
        const double share = (timeMin - before->timeMin) / (after->timeMin - before->timeMin);
        const double low = *(before->*quantity).value;
        DigestValue value = DigestValue::of(low + share * (*(after->*quantity).value - low));
        value.note = "interpolated at " + at + " between " + plainNumber(before->timeMin) + " and " +
                     plainNumber(after->timeMin) + " min";
        return value;
    }
    if (reason.empty()) {
        reason = "there is no reading at " + at;
        if (interpolate) {
            reason += ", nor one on each side of it";
        }
    } else {
        reason = "at " + at + ": " + reason;
    }
    return DigestValue::none(reason);
}

}  // namespace aftercurve
