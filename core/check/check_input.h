#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/study/plan.h"
#include "core/study/study.h"

namespace aftercurve {

/// One value of a curve as it stands in the file; the mean where one draw was determined several times.
struct CheckSample {
    double timeMin = 0.0;    ///< by the plan's time basis
    double value = 0.0;      ///< in Analyte::unit, before any assay rule
    std::uint32_t draw = 0;  ///< the first row that gave it
};

/// One visit: all its rows, in order of time.
struct CheckVisit {
    std::uint32_t subject = 0;
    std::uint32_t food = 0;
    std::int32_t visit = 1;
    std::int32_t period = 0;  ///< of the visits file, else of the first row; 0: not given
    std::vector<std::uint32_t> draws;
    std::optional<std::size_t> record;  ///< index into Study::visits
    bool excluded = false;              ///< for every analyte
    bool looksReversed = false;         ///< glucose and insulin stand in each other's column
};

/// The samples of one visit and analyte, as typed: values below the limit of quantification are counted and
/// stand in no list, excluded single samples are left out.
struct CheckCurve {
    std::uint32_t visitIndex = 0;  ///< index into CheckInput::visits
    std::uint32_t analyte = 0;
    std::vector<CheckSample> samples;       ///< ascending in time
    std::vector<std::uint32_t> belowLimit;  ///< draws
    bool excluded = false;
    bool twoValuesAtOneTime = false;  ///< and no numbers that make them determinations; an error elsewhere
    std::string_view looksLikeUnit;   ///< the unit that its values look as if they were in; empty: its own
};

/// What every check reads. Made once for all of them.
struct CheckInput {
    const Study& study;
    const Plan& plan;                ///< the comparator filled in
    std::vector<CheckVisit> visits;  ///< visits with rows, by subject, food, visit
    std::vector<CheckCurve> curves;  ///< by analyte, then as `visits`; one for each visit

    const CheckVisit& visitOf(const CheckCurve& curve) const { return visits[curve.visitIndex]; }
    const Analyte& analyteOf(const CheckCurve& curve) const { return study.analytes[curve.analyte]; }
    /// Whether a check looks at it: a person has decided on an excluded curve already, and one with two
    /// values at one time is an error elsewhere.
    static bool looksAt(const CheckCurve& curve) { return !curve.excluded && !curve.twoValuesAtOneTime; }
};

/// Study and plan must outlive the input. Invariants of Study hold.
CheckInput makeCheckInput(const Study& study, const Plan& plan);

/// Factor f with (value in the SI unit of the unit table) = f · value, for the analyte's unit; absent where
/// analyte or unit is not in the table.
std::optional<double> siFactor(const Analyte& analyte);

/// "mmol/L" for glucose and so on: the first unit of the table; empty where the analyte is not in it.
std::string_view siUnitOf(const Analyte& analyte);

/// Values at or before 0 min of a curve, and those after it.
std::vector<double> fastingValues(const CheckCurve& curve);
std::vector<double> mealValues(const CheckCurve& curve);

}  // namespace aftercurve
