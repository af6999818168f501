#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace aftercurve {

/// How far repeated values of one subject lie apart, and subjects from each other: one-way random model
/// y_ij = µ + subject_i + e_ij, with k_i values of subject i.
///
/// Within: Sw² = ΣΣ(y_ij − m_i)² / Σ(k_i − 1). Between: Sb² = (MSb − Sw²)/n₀ by the method of moments, with
/// MSb = Σk_i(m_i − M)²/(a − 1), M the mean of all N values, n₀ = (N − Σk_i²/N)/(a − 1), over all a subjects;
/// below 0 it is set to 0, with a note. Intraclass correlation Sb²/(Sb² + Sw²). CV of one subject
/// 100·sd_i/m_i, over subjects with two or more values, as root mean square and as plain mean. Repeatability
/// limit 1.96·√2·Sw: what 95 % of differences of two values of one subject lie within, if they are normal and
/// Sw is the same for all. Sources (from memory): Bland & Altman 1986, Lancet 1:307, and 1999, Stat Methods
/// Med 8:135 (repeatability); Searle, Casella & McCulloch 1992, Variance Components, ch. 3 (unbalanced
/// one-way model).
struct WithinSubject {
    std::size_t subjects = 0;             ///< a: with one value or more
    std::size_t values = 0;               ///< N
    std::size_t repeated = 0;             ///< subjects with two values or more
    std::size_t repeats = 0;              ///< their values
    std::optional<double> sd;             ///< Sw, unit of the values
    std::optional<double> df;             ///< Σ(k_i − 1)
    std::optional<double> cvRmsPercent;   ///< root mean square of the subjects' CV
    std::optional<double> cvMeanPercent;  ///< mean of the subjects' CV
    std::optional<double> betweenSd;      ///< Sb
    std::optional<double> intraclass;
    std::optional<double> repeatabilityLimit;
    std::string note;           ///< Sb² set to 0; why CV or the between part is absent
    std::string absentBecause;  ///< nothing could be told
};

/// `bySubject`: the values of each subject; subjects without one do not count. No subject with two values, or
/// one that is not finite: absent with the reason. A subject whose values are all equal within 1e-11 of the
/// largest adds no spread. A subject mean ≤ 0 has no CV, and then neither has the whole.
WithinSubject withinSubject(std::span<const std::vector<double>> bySubject);

}  // namespace aftercurve
