#include <array>
#include <cassert>
#include <cmath>
#include <utility>

#include "core/base/number_text.h"
#include "core/base/words.h"
#include "core/digest/digestion_fit.h"
#include "core/digest/first_order.h"

namespace aftercurve {

namespace {

constexpr Words<DigestModel, 3> modelWords{{{DigestModel::onePhase, "one-phase"},
                                            {DigestModel::onePhaseWithStart, "one-phase-with-start"},
                                            {DigestModel::twoPhases, "two-phases"}}};

struct Amplitudes {
    double start = 0.0;
    std::array<std::pair<double, double>, 2> phase =
        {};  ///< plateau and rate; 0 where there is no such phase
};

Amplitudes amplitudesOf(const DigestionFit& fit) {
    assert(fit.usable());
    const auto at = [&fit](std::size_t i) { return fit.parameters[i].estimate; };
    switch (fit.model) {
        case DigestModel::onePhase:
            return {0.0, {{{at(0), at(1)}, {0.0, 0.0}}}};
        case DigestModel::onePhaseWithStart:
            return {at(0), {{{at(1), at(2)}, {0.0, 0.0}}}};
        case DigestModel::twoPhases:
            break;
    }
    return {0.0, {{{at(0), at(2)}, {at(1), at(3)}}}};
}

}  // namespace

std::string_view wordFor(DigestModel model) {
    return wordIn(modelWords, model);
}

std::string FitOptions::validate() const {
    if (!(alpha > 0.0 && alpha < 1.0)) {
        return "alpha is " + plainNumber(alpha) + "; it must lie between 0 and 1";
    }
    if (firstRate && !(*firstRate > 0.0 && std::isfinite(*firstRate))) {
        return "the rate to begin from must be above 0";
    }
    return {};
}

std::optional<double> DigestionFit::estimate(std::string_view key) const {
    for (const FitParameter& parameter : parameters) {
        if (parameter.key == key) {
            return parameter.estimate;
        }
    }
    return std::nullopt;
}

double fittedValue(const DigestionFit& fit, double timeMin) {
    const Amplitudes amplitudes = amplitudesOf(fit);
    double value = amplitudes.start;
    for (const auto& [plateau, rate] : amplitudes.phase) {
        value += plateau * risen(rate, timeMin);
    }
    return value;
}

double fittedArea(const DigestionFit& fit, double untilMin) {
    const Amplitudes amplitudes = amplitudesOf(fit);
    double area = amplitudes.start * untilMin;
    for (const auto& [plateau, rate] : amplitudes.phase) {
        if (rate > 0.0) {
            area += plateau * (untilMin - risen(rate, untilMin) / rate);
        }
    }
    return area;
}

FitChoice chooseFit(std::span<const CurvePoint> points, const FitOptions& options) {
    FitChoice choice;
    for (const auto& [model, word] : modelWords) {
        choice.candidates.push_back(fitDigestion(points, model, options));
    }
    const auto better = [](const DigestionFit& a, const DigestionFit& b) {
        if (a.exact != b.exact) {
            return a.exact;
        }
        return !a.exact && a.aicc && b.aicc && *a.aicc < *b.aicc;
    };
    std::size_t usable = 0;
    std::size_t judged = 0;
    for (std::size_t i = 0; i < choice.candidates.size(); ++i) {
        if (!choice.candidates[i].usable()) {
            continue;
        }
        ++usable;
        judged += choice.candidates[i].aicc ? 1U : 0U;
        if (!choice.chosen || better(choice.candidates[i], choice.candidates[*choice.chosen])) {
            choice.chosen = i;
        }
    }
    if (!choice.chosen) {
        choice.why = choice.candidates.front().absentBecause;
        return choice;
    }
    const DigestionFit& chosen = choice.candidates[*choice.chosen];
    choice.why = chosen.exact   ? "the simplest curve that the readings lie on"
                 : usable == 1  ? "the only one of the curves that can be fitted"
                 : judged == 1  ? "the only one of the curves that the readings are enough to judge by AICc"
                 : !chosen.aicc ? "the simplest curve: the readings are too few to choose by AICc"
                                : "the smallest AICc of " + std::to_string(judged) + " curves";
    return choice;
}

}  // namespace aftercurve
