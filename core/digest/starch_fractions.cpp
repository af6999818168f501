#include "core/digest/starch_fractions.h"

#include <algorithm>
#include <cmath>

#include "core/base/number_text.h"
#include "core/compare/descriptive.h"

namespace aftercurve {

namespace {

constexpr std::size_t placeOf(StarchFraction fraction) {
    return static_cast<std::size_t>(fraction);
}

constexpr std::size_t placeOf(AssayBasis basis) {
    return static_cast<std::size_t>(basis);
}

DigestValue minus(const DigestValue& a, const DigestValue& b) {
    if (!a.value || !b.value) {
        return DigestValue::none(a.value ? b.absentBecause : a.absentBecause);
    }
    DigestValue difference = DigestValue::of(*a.value - *b.value);
    difference.note = a.note.empty() || a.note == b.note ? b.note
                      : b.note.empty()                   ? a.note
                                                         : a.note + "; " + b.note;
    return difference;
}

/// Digested starch at the three times and all of it, on one basis.
struct Digested {
    DigestValue rapid;
    DigestValue slow;
    DigestValue last;
    DigestValue total;
};

std::array<DigestValue, starchFractions.size()> fractionsFrom(const Digested& digested) {
    return {digested.rapid, minus(digested.slow, digested.rapid), minus(digested.total, digested.slow),
            minus(digested.last, digested.slow), minus(digested.total, digested.last)};
}

DigestValue dried(const DigestValue& value, const std::optional<double>& moisture) {
    if (!value.value) {
        return value;
    }
    if (!moisture) {
        return DigestValue::none("moisture_percent of the sample is not given");
    }
    DigestValue dry = value;
    dry.value = *value.value / (1.0 - *moisture / 100.0);
    return dry;
}

Digested digestedOf(const AssayData& assays, const Digestion& digestion, const DigestCuts& cuts,
                    DigestValue DigestPoint::*quantity, DigestValue total) {
    const auto at = [&](double timeMin) { return valueAt(digestion, quantity, timeMin, assays.interpolate); };
    Digested digested;
    digested.rapid = at(cuts.rapidMin);
    digested.slow = at(cuts.slowMin);
    digested.last = cuts.lastMin
                        ? at(*cuts.lastMin)
                        : DigestValue::none("no series goes beyond " + plainNumber(cuts.slowMin) + " min");
    digested.total = std::move(total);
    return digested;
}

void addNote(std::vector<std::string>& notes, const std::string& note) {
    if (!note.empty() && std::find(notes.begin(), notes.end(), note) == notes.end()) {
        notes.push_back(note);
    }
}

double square(double x) {
    return x * x;
}

/// What the errors of total starch and free glucose add to the variance of a mean.
double addedVariance(const AssayData& assays, const AssaySample& sample, const FractionSummary& summary) {
    const bool remains =
        summary.fraction == StarchFraction::resistant || summary.fraction == StarchFraction::remainder;
    const bool fromBegin = remains || summary.fraction == StarchFraction::rapidly;
    const bool percentRead = assays.quantity == AssayQuantity::starchPercent;
    const double uTotal = sample.totalStarchSePercent.value_or(0.0);
    const double uFree =
        fromBegin && !percentRead ? assays.glucoseToStarch * sample.freeGlucoseSePercent.value_or(0.0) : 0.0;
    const double total = sample.totalStarchPercent.value_or(0.0);
    if (summary.basis == AssayBasis::totalStarch) {
        if (percentRead || total <= 0.0) {
            return 0.0;
        }
        const double share = remains ? 100.0 - *summary.mean : *summary.mean;
        return square(100.0 * uFree / total) + square(share * uTotal / total);
    }
    const double dry =
        summary.basis == AssayBasis::dry ? 1.0 - sample.moisturePercent.value_or(0.0) / 100.0 : 1.0;
    if (percentRead) {
        return total > 0.0 ? square(*summary.mean * uTotal / total) : 0.0;
    }
    return (square(uFree) + (remains ? square(uTotal) : 0.0)) / square(dry);
}

}  // namespace

std::string_view keyOf(StarchFraction fraction) {
    constexpr std::array<std::string_view, starchFractions.size()> keys{
        "rapidly_digestible", "slowly_digestible", "resistant", "late_digestible", "remainder_at_last"};
    return keys[placeOf(fraction)];
}

std::string_view labelOf(StarchFraction fraction) {
    constexpr std::array<std::string_view, starchFractions.size()> labels{
        "Rapidly digestible starch", "Slowly digestible starch", "Resistant starch (remainder)",
        "Starch digested after the slow cut", "Starch left at the last time"};
    return labels[placeOf(fraction)];
}

std::string_view unitOf(AssayBasis basis) {
    constexpr std::array<std::string_view, assayBases.size()> units{"% of total starch", "g/100 g dry matter",
                                                                    "g/100 g as weighed"};
    return units[placeOf(basis)];
}

DigestCuts cutsOf(const AssayData& assays, const std::vector<Digestion>& digestions) {
    DigestCuts cuts{assays.rapidCutMin, assays.slowCutMin, {}};
    const auto last = commonLastMin(assays, digestions);
    if (last && *last > cuts.slowMin) {
        cuts.lastMin = last;
    }
    return cuts;
}

const DigestValue& DigestionFractions::at(StarchFraction which, AssayBasis basis) const {
    return fraction[placeOf(which)][placeOf(basis)];
}

DigestionFractions fractionsOf(const AssayData& assays, const Digestion& digestion, const DigestCuts& cuts) {
    const AssaySample& sample = assays.samples[digestion.sample];
    DigestionFractions result;
    result.rapidGlucose = valueAt(digestion, &DigestPoint::glucosePer100G, cuts.rapidMin, assays.interpolate);
    result.slowGlucose = valueAt(digestion, &DigestPoint::glucosePer100G, cuts.slowMin, assays.interpolate);
    const DigestValue total = sample.totalStarchPercent
                                  ? DigestValue::of(*sample.totalStarchPercent)
                                  : DigestValue::none("total_starch_percent of the sample is not given");
    const auto weighed =
        fractionsFrom(digestedOf(assays, digestion, cuts, &DigestPoint::starchPer100G, total));
    const auto percent = fractionsFrom(
        digestedOf(assays, digestion, cuts, &DigestPoint::starchPercent, DigestValue::of(100.0)));
    for (std::size_t f = 0; f < starchFractions.size(); ++f) {
        result.fraction[f][placeOf(AssayBasis::totalStarch)] = percent[f];
        result.fraction[f][placeOf(AssayBasis::asIs)] = weighed[f];
        result.fraction[f][placeOf(AssayBasis::dry)] = dried(weighed[f], sample.moisturePercent);
    }
    // What is digested between two times needs no free glucose: it cancels.
    if (assays.quantity == AssayQuantity::glucoseMg && !sample.freeGlucosePercent) {
        const DigestValue between = minus(result.slowGlucose, result.rapidGlucose);
        if (between.value) {
            DigestValue slowly = between;
            slowly.value = assays.glucoseToStarch * *between.value;
            auto& values = result.fraction[placeOf(StarchFraction::slowly)];
            values[placeOf(AssayBasis::asIs)] = slowly;
            values[placeOf(AssayBasis::dry)] = dried(slowly, sample.moisturePercent);
            if (sample.totalStarchPercent.value_or(0.0) > 0.0) {
                slowly.value = 100.0 * *slowly.value / *sample.totalStarchPercent;
                values[placeOf(AssayBasis::totalStarch)] = slowly;
            }
        }
    }
    return result;
}

FractionSummary summaryOf(const AssayData& assays, std::size_t sample, StarchFraction fraction,
                          AssayBasis basis, std::span<const DigestValue> values) {
    FractionSummary summary;
    summary.fraction = fraction;
    summary.basis = basis;
    std::vector<double> present;
    for (const DigestValue& value : values) {
        if (value.value) {
            present.push_back(*value.value);
            addNote(summary.notes, value.note);
        } else {
            ++summary.absent;
            if (summary.absentBecause.empty()) {
                summary.absentBecause = value.absentBecause;
            }
        }
    }
    summary.n = present.size();
    if (values.empty()) {
        summary.absentBecause = "there is no digestion of it";
    }
    summary.mean = mean(present);
    summary.sd = sampleSd(present);
    if (!summary.sd || !summary.mean) {
        return summary;
    }
    summary.se = *summary.sd / std::sqrt(static_cast<double>(summary.n));
    summary.propagatedSe =
        std::sqrt(square(*summary.se) + addedVariance(assays, assays.samples[sample], summary));
    return summary;
}

}  // namespace aftercurve
