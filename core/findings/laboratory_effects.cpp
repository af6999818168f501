#include "core/findings/laboratory_effects.h"

#include <algorithm>
#include <cctype>

#include "core/compare/descriptive.h"
#include "core/findings/fibre_words.h"
#include "core/findings/findings.h"

namespace aftercurve {

namespace {

/// Between the names of a key: no name of a fibre file holds a control character.
constexpr const char* gap = "\x1f";

struct Side {
    std::size_t n = 0;
    std::optional<double> value;
    std::string absentBecause;
};

void add(LaboratoryEffect effect, const Side& with, const Side& without,
         std::vector<LaboratoryEffect>& effects) {
    effect.n = with.n;
    effect.value = with.value;
    effect.absentBecause = with.value ? std::string{} : with.absentBecause;
    effect.nIgnoring = without.n;
    effect.valueIgnoring = without.value;
    effects.push_back(std::move(effect));
}

Side fractionOf(const DigestionFindings& findings, std::size_t sample, StarchFraction fraction) {
    for (const FractionSummary& summary : findings.bySample[sample].fractions) {
        if (summary.fraction == fraction && summary.basis == findings.basis) {
            return {summary.n, summary.mean, summary.absentBecause};
        }
    }
    return {};
}

Side rateOf(const DigestionFindings& findings, std::size_t sample) {
    std::vector<double> rates;
    std::string absentBecause = findings.bySample[sample].absentBecause;
    for (const DigestionReplicate& replicate : findings.replicates) {
        if (replicate.digestion.sample != sample) {
            continue;
        }
        if (replicate.rate.value) {
            rates.push_back(*replicate.rate.value);
        } else if (absentBecause.empty()) {
            absentBecause = replicate.rate.absentBecause;
        }
    }
    return {rates.size(), mean(rates), absentBecause};
}

Side indexOf(const DigestionFindings& findings, std::size_t sample) {
    const DigestionSample& one = findings.bySample[sample];
    return {one.digestions, one.hydrolysisIndex.value, one.hydrolysisIndex.absentBecause};
}

void addDigestions(const DigestionFindings& with, const DigestionFindings& without,
                   std::vector<LaboratoryEffect>& effects) {
    for (std::size_t s = 0; s < with.bySample.size(); ++s) {
        const auto effect = [&](std::string_view key, std::string quantity, std::string unit) {
            LaboratoryEffect one;
            one.key = "digestion/" + with.bySample[s].sample + "/" + std::string{key};
            one.quantity = std::move(quantity);
            one.unit = std::move(unit);
            one.of = with.bySample[s].label;
            return one;
        };
        for (const StarchFraction fraction :
             {StarchFraction::rapidly, StarchFraction::slowly, StarchFraction::resistant}) {
            add(effect(keyOf(fraction), std::string{labelOf(fraction)}, std::string{unitOf(with.basis)}),
                fractionOf(with, s, fraction), fractionOf(without, s, fraction), effects);
        }
        add(effect("k", "Rate constant of the one-phase curve", "1/min"), rateOf(with, s), rateOf(without, s),
            effects);
        add(effect("hydrolysis_index", "Hydrolysis index", ""), indexOf(with, s), indexOf(without, s),
            effects);
    }
}

void addFibre(const FibreFindings& with, const FibreFindings& without,
              std::vector<LaboratoryEffect>& effects) {
    for (const FibreResultFinding& result : with.results) {
        if (result.excluded == 0) {
            continue;
        }
        const auto other = std::find_if(without.results.begin(), without.results.end(),
                                        [&result](const FibreResultFinding& one) {
                                            return one.sameOrigin(result) && one.fraction == result.fraction;
                                        });
        if (other == without.results.end()) {
            continue;
        }
        const auto lacks = [&](PortionValue FibreResultFinding::*basis) {
            return (result.counts() && !(result.*basis).value) || !((*other).*basis).value;
        };
        const bool dry = lacks(&FibreResultFinding::asIsPer100g) && !lacks(&FibreResultFinding::dryPer100g);
        const auto side = [dry](const FibreResultFinding& one) {
            const PortionValue& value = dry ? one.dryPer100g : one.asIsPer100g;
            return Side{one.valued, value.value, value.absentBecause};
        };
        LaboratoryEffect effect;
        effect.key = "fibre/" + result.material + gap + result.method + gap + result.fraction + gap +
                     result.laboratory;
        effect.method = result.method + (result.laboratory.empty() ? "" : ", " + result.laboratory);
        effect.quantity = fibreFractionWords(result.fraction);
        effect.quantity.front() =
            static_cast<char>(std::toupper(static_cast<unsigned char>(effect.quantity.front())));
        effect.unit = dry ? "g/100 g of dry matter" : "g/100 g as it is";
        effect.of = result.material;
        add(std::move(effect), side(result), side(*other), effects);
    }
}

}  // namespace

std::vector<LaboratoryEffect> laboratoryEffects(const Study& whole, const Findings& findings) {
    std::vector<LaboratoryEffect> effects;
    if (!findings.digestion.excluded.empty()) {
        addDigestions(findings.digestion, digestionFindings(whole, findings.plan), effects);
    }
    if (!findings.fibre.excluded.empty()) {
        addFibre(findings.fibre, fibreFindings(whole, findings.plan), effects);
    }
    return effects;
}

}  // namespace aftercurve
