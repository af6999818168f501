#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/digest/digestions.h"

namespace aftercurve {

/// The parts of starch by the time in which they are digested.
enum class StarchFraction { rapidly, slowly, resistant, late, remainder };

inline constexpr std::array starchFractions{StarchFraction::rapidly, StarchFraction::slowly,
                                            StarchFraction::resistant, StarchFraction::late,
                                            StarchFraction::remainder};

/// "rapidly_digestible", "slowly_digestible", "resistant", "late_digestible", "remainder_at_last".
std::string_view keyOf(StarchFraction fraction);
/// "Rapidly digestible starch", ...
std::string_view labelOf(StarchFraction fraction);

inline constexpr std::array assayBases{AssayBasis::totalStarch, AssayBasis::dry, AssayBasis::asIs};

/// "% of total starch", "g/100 g dry matter", "g/100 g as weighed".
std::string_view unitOf(AssayBasis basis);

/// The cut times as they hold for a study.
struct DigestCuts {
    double rapidMin = 20.0;
    double slowMin = 120.0;
    std::optional<double> lastMin;  ///< absent: there is no series beyond the slow cut
};

DigestCuts cutsOf(const AssayData& assays, const std::vector<Digestion>& digestions);

/// What one digestion gives, with S(t) the digested starch at a time:
///   rapidly digestible   S(rapid cut) = factor·(G20 − free glucose)
///   slowly digestible    S(slow cut) − S(rapid cut) = factor·(G120 − G20)
///   resistant            total starch − S(slow cut)
///   late digestible      S(last) − S(slow cut), where the series is longer than the slow cut
///   remainder            total starch − S(last), likewise
/// Values by basis: [fraction][basis], basis as assayBases. As weighed: g per 100 g of the sample; dry: that
/// divided by (1 − moisture/100); of total starch: percent. A fraction may come out below 0 (free glucose or
/// total starch do not fit the readings); it is given as it is.
/// Source: Englyst, Kingman & Cummings 1992, Eur J Clin Nutr 46 Suppl 2:S33 (from memory).
struct DigestionFractions {
    DigestValue rapidGlucose;  ///< G at the rapid cut, g/100 g as weighed, free glucose in it
    DigestValue slowGlucose;   ///< G at the slow cut
    std::array<std::array<DigestValue, assayBases.size()>, starchFractions.size()> fraction;

    const DigestValue& at(StarchFraction which, AssayBasis basis) const;
};

DigestionFractions fractionsOf(const AssayData& assays, const Digestion& digestion, const DigestCuts& cuts);

/// One fraction of a sample over its digestions (all replicates of all runs, each counted once).
/// SE = SD/√n. `propagatedSe` adds the standard errors of total starch and free glucose, independent of each
/// other and of the readings, to first order (k the factor, T total starch, F free glucose, p the fraction in
/// percent of total starch):
///   as weighed  rapidly √(SE² + k²u(F)²); slowly, late SE; resistant, remainder √(SE² + u(T)² + k²u(F)²)
///   dry         that divided by (1 − moisture/100)
///   of starch   rapidly, resistant, remainder √(SE² + (100k/T)²u(F)² + (q·u(T)/T)²), q = p, or 100 − p for
///   what is
///               left; slowly, late √(SE² + (p·u(T)/T)²). Readings in percent of total starch bring none.
/// Where neither is given it is the SE of the digestions alone.
struct FractionSummary {
    StarchFraction fraction = StarchFraction::rapidly;
    AssayBasis basis = AssayBasis::totalStarch;
    std::size_t n = 0;
    std::size_t absent = 0;  ///< digestions without it
    std::optional<double> mean;
    std::optional<double> sd;
    std::optional<double> se;
    std::optional<double> propagatedSe;
    std::string absentBecause;  ///< of what is absent, the first reason
    std::vector<std::string> notes;
};

FractionSummary summaryOf(const AssayData& assays, std::size_t sample, StarchFraction fraction,
                          AssayBasis basis, std::span<const DigestValue> values);

}  // namespace aftercurve
