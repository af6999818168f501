#include "core/findings/bridge_quantities.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <string>

#include "core/base/number_text.h"
#include "core/findings/findings.h"

namespace aftercurve {

namespace {

std::optional<BridgeValue> fractionOf(const DigestionSample& sample, StarchFraction which) {
    for (const FractionSummary& one : sample.fractions) {
        if (one.fraction == which && one.basis == AssayBasis::totalStarch && one.mean) {
            return BridgeValue{sample.food, *one.mean, one.propagatedSe ? one.propagatedSe : one.se};
        }
    }
    return std::nullopt;
}

/// Of the mean curve; nothing where it has no point at that time.
std::optional<BridgeValue> digestedAt(const DigestionSample& sample, double timeMin) {
    for (const DigestionMean& point : sample.curve) {
        if (point.timeMin == timeMin) {
            const auto se =
                point.sd ? std::optional{*point.sd / std::sqrt(static_cast<double>(point.n))} : std::nullopt;
            return BridgeValue{sample.food, point.mean, se};
        }
    }
    return std::nullopt;
}

/// `read` gives the value of a sample with its standard error, or nothing. Where several samples are of one
/// food, none of them stands for it.
template <class Read>
BridgeQuantity quantityFrom(const DigestionFindings& digestion, BridgeQuantity quantity, Read read) {
    std::map<std::string, std::size_t> samplesOf;
    for (const DigestionSample& sample : digestion.bySample) {
        ++samplesOf[sample.food];
    }
    for (const DigestionSample& sample : digestion.bySample) {
        if (sample.food.empty() || samplesOf[sample.food] > 1) {
            continue;
        }
        if (const auto value = read(sample)) {
            quantity.values.push_back(*value);
        }
    }
    return quantity;
}

}  // namespace

std::vector<BridgeQuantity> digestionQuantities(const Findings& findings) {
    const DigestionFindings& digestion = findings.digestion;
    const std::string percent{unitOf(AssayBasis::totalStarch)};
    std::vector<BridgeQuantity> all;
    all.push_back(
        quantityFrom(digestion, {"hydrolysis_index", "Hydrolysis index", "", {}},
                     [](const DigestionSample& sample) -> std::optional<BridgeValue> {
                         if (!sample.hydrolysisIndex.value) {
                             return std::nullopt;
                         }
                         return BridgeValue{sample.food, *sample.hydrolysisIndex.value, sample.hydrolysisSe};
                     }));
    all.push_back(quantityFrom(
        digestion, {"rapidly_digestible", "Rapidly digestible starch", percent, {}},
        [](const DigestionSample& sample) { return fractionOf(sample, StarchFraction::rapidly); }));
    all.push_back(quantityFrom(
        digestion, {"resistant", "Resistant starch", percent, {}},
        [](const DigestionSample& sample) { return fractionOf(sample, StarchFraction::resistant); }));
    if (digestion.untilMin) {
        const double at = *digestion.untilMin;
        all.push_back(quantityFrom(
            digestion, {"digested", "Digested starch at " + plainNumber(at) + " min", percent, {}},
            [at](const DigestionSample& sample) { return digestedAt(sample, at); }));
    }
    std::erase_if(all, [](const BridgeQuantity& quantity) { return quantity.values.empty(); });
    return all;
}

}  // namespace aftercurve
