#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace aftercurve {

/// What the measures read of one analyte in one visit, in the SI unit (glucose mmol/L, insulin pmol/L,
/// C-peptide nmol/L). Areas in that unit × min, over the plan's window.
struct InsulinCurve {
    std::optional<double> fasting;  ///< the baseline, by the plan's rule
    std::vector<double> timeMin;    ///< planned times of the samples, min
    std::vector<double> value;      ///< same length
    std::optional<double> areaTotal;
    std::optional<double> areaIncremental;  ///< positive incremental area
    std::string absentBecause;              ///< why the curve does not count; empty: it does
};

/// One visit of one subject.
struct InsulinVisit {
    InsulinCurve glucose;
    InsulinCurve insulin;
    InsulinCurve cPeptide;
    bool isReference = false;   ///< the food is the study's reference
    double pmolPerUiu = 6.00;   ///< pmol of insulin in one µIU, as study.json says
    double mgPerMmol = 18.016;  ///< glucose, mg/dL in one mmol/L (core/study/units.h)
};

/// Single numbers that the measures are made of, in the unit of their column.
enum class InsulinInput : std::size_t {
    glucoseFasting,
    insulinFasting,
    cPeptideFasting,
    glucose30,
    insulin30,
    cPeptide30,
    glucoseMean,
    insulinMean,
    glucoseArea,
    insulinArea,
    cPeptideArea,
    glucoseIncrement,
    insulinIncrement,
};
inline constexpr std::size_t insulinInputCount = 13;
using InsulinInputs = std::array<std::optional<double>, insulinInputCount>;

enum class InsulinAnalyte { glucose, insulin, cPeptide };

/// How an input is shown: "glucose_fasting", "Fasting glucose", "mmol/L", and which curve it is of.
struct InsulinInputKind {
    InsulinInput input;
    InsulinAnalyte analyte;
    std::string_view key;
    std::string_view label;
    std::string_view unit;
    std::string_view meaning;
};

/// All of them, in the order of the enumeration.
std::span<const InsulinInputKind> insulinInputList();

/// A value, or why there is none.
struct InsulinOutcome {
    std::optional<double> value;
    std::string absentBecause;
};

/// One measure of the action or secretion of insulin.
struct InsulinMeasureKind {
    std::string_view key;       ///< "homa_ir"
    std::string_view label;     ///< for people: "HOMA-IR"
    std::string_view unit;      ///< "" for a number without one
    std::string_view formula;   ///< in words, with the units that it wants
    std::string_view validity;  ///< what it was made for, and where it fails
    std::string_view source;
    std::vector<InsulinInput> inputs;
    bool fasting = false;        ///< read before the meal alone: the food cannot act on it
    bool referenceOnly = false;  ///< of a visit with the reference food alone
    bool logarithm = false;      ///< its values are logarithms already
    /// From the inputs, which are all there, finite and not negative.
    InsulinOutcome (*compute)(const InsulinInputs& inputs, const InsulinVisit& visit) = nullptr;
    /// Why the value lies outside what the measure is meant for; empty: it does not. May be null.
    std::string_view (*outside)(const InsulinInputs& inputs) = nullptr;
};

/// The list that tables, summaries, results.json and figures follow. G0, I0, C0: the baseline by the plan's
/// rule; G30, I30, C30: the sample planned at 30 min, none is interpolated; a mean is the arithmetic one of
/// the baseline and the samples planned at 30, 60, 90 and 120 min; areas are those of the plan's window.
/// Insulin is converted by InsulinVisit::pmolPerUiu. A denominator that is not above 0 (within 1e-11 of what
/// it is the difference of), a missing input, or a result too large for a double: absent, with the reason.
/// HOMA divides by 22.5 with glucose in mmol/L; by mg/dL it is often divided by 405 = 22.5 × 18, which gives
/// 0.09 % more than 22.5 × 18.016.
std::span<const InsulinMeasureKind> insulinMeasureList();

/// Position in insulinMeasureList().
std::optional<std::size_t> insulinMeasureIndex(std::string_view key);

/// Whether the measure reads this analyte.
bool readsAnalyte(const InsulinMeasureKind& measure, InsulinAnalyte analyte);

/// One measure of one visit.
struct InsulinReading {
    std::optional<double> value;
    std::string absentBecause;
    InsulinInputs inputs;     ///< those of this measure
    std::string_view remark;  ///< of InsulinMeasureKind::outside
};

InsulinReading insulinReading(const InsulinMeasureKind& measure, const InsulinVisit& visit);

}  // namespace aftercurve
