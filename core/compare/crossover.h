#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace aftercurve {

enum class CrossoverSequence { ab, ba };

/// One subject of a trial of two foods in two periods: AB ate A first. A missing value is absent.
struct CrossoverSubject {
    std::string subject;
    CrossoverSequence sequence = CrossoverSequence::ab;
    std::optional<double> period1;
    std::optional<double> period2;
};

struct CrossoverEffect {
    std::optional<double> estimate;
    std::optional<double> se;
    std::optional<double> t;
    std::optional<double> df;
    std::optional<double> p;  ///< two-sided
    std::optional<double> ciLow;
    std::optional<double> ciHigh;
    std::string absentBecause;
};

/// One subject that counts, and what the three tests read of it.
struct CrossoverRow {
    std::string subject;
    CrossoverSequence sequence = CrossoverSequence::ab;
    double period1 = 0.0;
    double period2 = 0.0;
    std::optional<double> sum;         ///< period 1 + period 2
    std::optional<double> difference;  ///< period 1 − period 2
};

struct CrossoverLeftOut {
    std::string subject;
    std::string reason;
};

/// Crossover of two foods A and B in two periods and two sequences, AB and BA.
/// Model: value = mean + period + food + carry-over + subject + error; subjects random, errors independent,
/// normal and of equal variance in both sequences. With d̄ the mean of (period 1 − period 2) and s̄ the mean of
/// (period 1 + period 2) over the subjects of a sequence, n and m their numbers:
///   treatment, A − B:          (d̄(AB) − d̄(BA)) / 2; SE = ½ √(S²d (1/n + 1/m))
///   period, 1 − 2:             (d̄(AB) + d̄(BA)) / 2; the same SE
///   carry-over, AB − BA:       s̄(AB) − s̄(BA);       SE = √(S²s (1/n + 1/m))
/// S² is the pooled variance within sequences; t has n + m − 2 degrees of freedom, p is two-sided. Unit: that
/// of the values. The treatment effect is free of the period effect; it assumes no carry-over.
///
/// The carry-over test compares subjects with each other, so it has little power. It is reported for the
/// reader, never to choose the analysis: the "two-stage" procedure (test carry-over; if it is significant,
/// use period 1 alone) has a false positive rate well above its nominal level, because the two tests are
/// correlated (Freeman 1989, Stat Med 8:1421, from memory). It is not offered. What protects from carry-over
/// is the washout.
///
/// Missing: a subject without a finite value in both periods is left out with the reason; nothing is imputed.
/// No subject in a sequence: treatment and period cannot be told apart, all effects are absent. One subject
/// in each: estimates only. One subject in one: the variance comes from the other sequence alone, and `note`
/// says so. Differences (or sums) equal within both sequences: estimate and SE 0, no interval and no test. A
/// result too large for a double is absent with the reason.
/// Source: Hills & Armitage 1979, Br J Clin Pharmacol 8:7; Grizzle 1965, Biometrics 21:467.
struct Crossover {
    std::size_t subjectsAb = 0;
    std::size_t subjectsBa = 0;
    CrossoverEffect treatment;
    CrossoverEffect period;
    CrossoverEffect carryOver;
    std::vector<CrossoverRow> rows;
    std::vector<CrossoverLeftOut> leftOut;
    std::string note;
};

/// 0 < alpha < 1; intervals have confidence 1 − alpha.
Crossover crossover(std::span<const CrossoverSubject> subjects, double alpha);

}  // namespace aftercurve
