#include "core/compare/crossover.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "core/compare/descriptive.h"
#include "core/compare/distributions.h"
#include "core/compare/scaled.h"

namespace aftercurve {

namespace {

// As in pairedDifferences: decimals are told apart, the rounding of a sum or difference is not.
constexpr double relativeResolution = 1e-11;

/// One number a subject, by sequence, near 1.
struct TwoGroups {
    std::vector<double> ab;
    std::vector<double> ba;
};

/// How an effect is made of the two group means: (mean(ab) + sign · mean(ba)) / divisor.
struct EffectRule {
    double sign = 1.0;
    double divisor = 1.0;
};

double sumOfSquares(const std::vector<double>& value, double centre) {
    double sum = 0.0;
    for (const double x : value) {
        sum += (x - centre) * (x - centre);
    }
    return sum;
}

bool equalWithin(const std::vector<double>& value, double resolution) {
    const auto [low, high] = std::minmax_element(value.begin(), value.end());
    return *high - *low <= resolution;
}

CrossoverEffect absentEffect(std::string because) {
    CrossoverEffect effect;
    effect.absentBecause = std::move(because);
    return effect;
}

CrossoverEffect effectOf(const TwoGroups& groups, EffectRule rule, int exponent, double resolution,
                         double alpha) {
    const double meanAb = *mean(groups.ab);
    const double meanBa = *mean(groups.ba);
    const auto n = static_cast<double>(groups.ab.size());
    const auto m = static_cast<double>(groups.ba.size());
    const double estimate = (meanAb + rule.sign * meanBa) / rule.divisor;
    const double df = n + m - 2.0;

    CrossoverEffect effect;
    effect.estimate = scaledBack(estimate, exponent);
    if (df == 0.0) {
        effect.absentBecause =
            "one subject in each sequence: the spread cannot be estimated, no interval and no test";
        return effect;
    }
    if (equalWithin(groups.ab, resolution) && equalWithin(groups.ba, resolution)) {
        effect.se = 0.0;
        effect.absentBecause = "the subjects of each sequence are all equal: no interval and no test";
        return effect;
    }
    const double pooled = (sumOfSquares(groups.ab, meanAb) + sumOfSquares(groups.ba, meanBa)) / df;
    const double se = std::sqrt(pooled * (1.0 / n + 1.0 / m)) / rule.divisor;
    effect.se = scaledBack(se, exponent);
    effect.df = df;
    effect.t = estimate / se;
    effect.p = studentTTwoSidedP(*effect.t, df);
    if (const auto quantile = studentTUpperQuantile(alpha / 2.0, df)) {
        effect.ciLow = scaledBack(estimate - *quantile * se, exponent);
        effect.ciHigh = scaledBack(estimate + *quantile * se, exponent);
    }
    if (!effect.ciLow || !effect.ciHigh) {
        effect.ciLow.reset();
        effect.ciHigh.reset();
    }
    if (!effect.estimate || !effect.se || !effect.ciLow) {
        effect.absentBecause = "a result is too large for the number format";
    }
    return effect;
}

std::string whyLeftOut(const CrossoverSubject& subject) {
    if (!subject.period1 && !subject.period2) {
        return "no value in either period";
    }
    if (!subject.period1) {
        return "no value in period 1";
    }
    if (!subject.period2) {
        return "no value in period 2";
    }
    if (!std::isfinite(*subject.period1) || !std::isfinite(*subject.period2)) {
        return "a value is not a finite number";
    }
    return {};
}

std::optional<double> ifFinite(double x) {
    return std::isfinite(x) ? std::optional{x} : std::nullopt;
}

void sortSubjects(std::span<const CrossoverSubject> subjects, Crossover& result) {
    for (const CrossoverSubject& s : subjects) {
        if (std::string reason = whyLeftOut(s); !reason.empty()) {
            result.leftOut.push_back({s.subject, std::move(reason)});
            continue;
        }
        ++(s.sequence == CrossoverSequence::ab ? result.subjectsAb : result.subjectsBa);
        result.rows.push_back({s.subject, s.sequence, *s.period1, *s.period2,
                               ifFinite(*s.period1 + *s.period2), ifFinite(*s.period1 - *s.period2)});
    }
}

}  // namespace

Crossover crossover(std::span<const CrossoverSubject> subjects, double alpha) {
    assert(alpha > 0.0 && alpha < 1.0);
    Crossover result;
    sortSubjects(subjects, result);
    if (result.subjectsAb == 0 || result.subjectsBa == 0) {
        const std::string reason = result.rows.empty()
                                       ? "no subject has both periods"
                                       : std::string{"no subject of sequence "} +
                                             (result.subjectsAb == 0 ? "AB" : "BA") +
                                             " has both periods: treatment and period cannot be told apart";
        result.treatment = absentEffect(reason);
        result.period = absentEffect(reason);
        result.carryOver = absentEffect(reason);
        return result;
    }
    if ((result.subjectsAb == 1) != (result.subjectsBa == 1)) {
        result.note = std::string{"sequence "} + (result.subjectsAb == 1 ? "AB" : "BA") +
                      " has one subject: the variance comes from the other sequence alone";
    }

    std::vector<double> values;
    values.reserve(2 * result.rows.size());
    for (const CrossoverRow& row : result.rows) {
        values.push_back(row.period1);
        values.push_back(row.period2);
    }
    const auto scaled = scaledNearOne(values);
    assert(scaled);
    TwoGroups differences;
    TwoGroups sums;
    for (std::size_t i = 0; i < result.rows.size(); ++i) {
        const bool ab = result.rows[i].sequence == CrossoverSequence::ab;
        const double first = scaled->value[2 * i];
        const double second = scaled->value[2 * i + 1];
        (ab ? differences.ab : differences.ba).push_back(first - second);
        (ab ? sums.ab : sums.ba).push_back(first + second);
    }
    // The largest scaled value is at least ½, so this is at most twice the rule of pairedDifferences.
    result.treatment = effectOf(differences, {-1.0, 2.0}, scaled->exponent, relativeResolution, alpha);
    result.period = effectOf(differences, {1.0, 2.0}, scaled->exponent, relativeResolution, alpha);
    result.carryOver = effectOf(sums, {-1.0, 1.0}, scaled->exponent, relativeResolution, alpha);
    return result;
}

}  // namespace aftercurve
