#include "core/check/unit_suspicion.h"

#include <algorithm>
#include <array>
#include <vector>

#include "core/compare/descriptive.h"
#include "core/study/units.h"

namespace aftercurve {

namespace {

struct NamedRange {
    std::string_view analyte;
    LevelRange range;
};
constexpr std::array<NamedRange, 4> levelRanges{{{"glucose", {3.0, 10.0}},
                                                 {"insulin", {18.0, 150.0}},
                                                 {"c-peptide", {0.15, 1.5}},
                                                 {"triglycerides", {0.3, 4.0}}}};

constexpr double levelAloneDecides = 10.0;
constexpr double leastFactor = 5.0;
constexpr double factorSlack = 1.5;
constexpr std::size_t leastOthers = 3;

constexpr LevelRange glucoseMostly{3.0, 15.0};
constexpr LevelRange glucoseAlways{2.5, 20.0};
constexpr LevelRange insulinAlways{5.0, 3000.0};
constexpr std::size_t leastForReversed = 3;

bool inside(const LevelRange& range, double value) {
    return value >= range.low && value <= range.high;
}

std::vector<double> valuesOf(const CheckCurve& curve) {
    std::vector<double> values;
    for (const CheckSample& sample : curve.samples) {
        values.push_back(sample.value);
    }
    return values;
}

/// How many times larger a number gets when its unit, taken for `own`, is `other`.
double factorBetween(const Analyte& analyte, std::string_view other) {
    const auto factor = conversionFactor(analyte.id, other, analyte.unit);
    return factor.ok() ? factor.value() : 1.0;
}

/// Whether a / b is `factor`, give or take half of it.
bool isNear(double a, double b, double factor) {
    const double ratio = a / b;
    return b > 0.0 && ratio > factor / factorSlack && ratio < factor * factorSlack;
}

/// Medians of an analyte's curves, before and after the meal.
struct Levels {
    std::uint32_t food = 0;
    std::optional<double> fasting;
    std::optional<double> meal;
};

Levels levelsOf(const CheckInput& input, const CheckCurve& curve) {
    return {input.visitOf(curve).food, median(fastingValues(curve)), median(mealValues(curve))};
}

/// Median over the other curves of the same food, or over all others where those are too few.
std::optional<double> medianOfOthers(const std::vector<Levels>& levels, std::size_t left,
                                     std::optional<double> Levels::*part) {
    std::vector<double> sameFood;
    std::vector<double> others;
    for (std::size_t i = 0; i < levels.size(); ++i) {
        if (i != left && levels[i].*part) {
            others.push_back(*(levels[i].*part));
            if (levels[i].food == levels[left].food) {
                sameFood.push_back(others.back());
            }
        }
    }
    return sameFood.size() >= leastOthers ? median(sameFood)
           : others.size() >= leastOthers ? median(others)
                                          : std::nullopt;
}

bool standsApart(const std::vector<Levels>& levels, std::size_t position, double factor) {
    for (const auto part : {&Levels::fasting, &Levels::meal}) {
        const auto own = levels[position].*part;
        const auto others = own ? medianOfOthers(levels, position, part) : std::nullopt;
        // The numbers are 1 / factor of what they would be in the analyte's unit.
        if (!others || *own <= 0.0 || !isNear(*others, *own, factor)) {
            return false;
        }
    }
    return true;
}

}  // namespace

std::optional<LevelRange> levelRangeOf(std::string_view analyte) {
    const auto* found = std::find_if(levelRanges.begin(), levelRanges.end(),
                                     [analyte](const NamedRange& r) { return r.analyte == analyte; });
    return found == levelRanges.end() ? std::nullopt : std::optional{found->range};
}

std::optional<double> levelOf(const CheckCurve& curve) {
    const auto fasting = median(fastingValues(curve));
    return fasting ? fasting : median(valuesOf(curve));
}

std::string_view unitThatFits(const Analyte& analyte, double level) {
    const auto range = levelRangeOf(analyte.id);
    const auto own = siFactor(analyte);
    if (!range || !own || inside(*range, level * *own)) {
        return {};
    }
    for (const Unit& unit : unitTable()) {
        if (unit.analyte == analyte.id && unit.unit != analyte.unit && inside(*range, level / unit.perSi)) {
            return unit.unit;
        }
    }
    return {};
}

void suspectUnits(CheckInput& input) {
    for (std::size_t first = 0; first < input.curves.size();) {
        std::size_t last = first;
        while (last < input.curves.size() && input.curves[last].analyte == input.curves[first].analyte) {
            ++last;
        }
        const Analyte& analyte = input.analyteOf(input.curves[first]);
        std::vector<Levels> levels;  // made only where some curve needs it
        for (std::size_t c = first; c < last; ++c) {
            CheckCurve& curve = input.curves[c];
            const auto level = levelOf(curve);
            if (!CheckInput::looksAt(curve) || input.visitOf(curve).looksReversed || !level) {
                continue;
            }
            const std::string_view unit = unitThatFits(analyte, *level);
            if (unit.empty()) {
                continue;
            }
            const double factor = factorBetween(analyte, unit);
            const double fold = std::max(factor, 1.0 / factor);
            if (fold < leastFactor) {
                continue;
            }
            if (fold < levelAloneDecides) {
                if (levels.empty()) {
                    for (std::size_t k = first; k < last; ++k) {
                        levels.push_back(CheckInput::looksAt(input.curves[k])
                                             ? levelsOf(input, input.curves[k])
                                             : Levels{});
                    }
                }
                if (!standsApart(levels, c - first, factor)) {
                    continue;
                }
            }
            curve.looksLikeUnit = unit;
        }
        first = last;
    }
}

void suspectReversedColumns(CheckInput& input) {
    const auto glucose = findAnalyte(input.study, "glucose");
    const auto insulin = findAnalyte(input.study, "insulin");
    const std::size_t visits = input.visits.size();
    if (!glucose || !insulin || input.curves.size() != visits * input.study.analytes.size()) {
        return;
    }
    const auto glucoseFactor = siFactor(input.study.analytes[*glucose]);
    const auto insulinFactor = siFactor(input.study.analytes[*insulin]);
    if (!glucoseFactor || !insulinFactor) {
        return;
    }
    for (std::size_t v = 0; v < visits; ++v) {
        const CheckCurve& asGlucose = input.curves[*glucose * visits + v];
        const CheckCurve& asInsulin = input.curves[*insulin * visits + v];
        if (!CheckInput::looksAt(asGlucose) || !CheckInput::looksAt(asInsulin) ||
            asGlucose.samples.size() < leastForReversed || asInsulin.samples.size() < leastForReversed) {
            continue;
        }
        const auto count = [](const CheckCurve& curve, double factor, const LevelRange& range) {
            return static_cast<std::size_t>(
                std::count_if(curve.samples.begin(), curve.samples.end(),
                              [&](const CheckSample& s) { return inside(range, s.value * factor); }));
        };
        const std::size_t n = asGlucose.samples.size();
        input.visits[v].looksReversed =
            2 * count(asGlucose, *glucoseFactor, glucoseMostly) <= n &&
            count(asGlucose, *insulinFactor, insulinAlways) == n &&
            count(asInsulin, *glucoseFactor, glucoseAlways) == asInsulin.samples.size();
    }
}

}  // namespace aftercurve
