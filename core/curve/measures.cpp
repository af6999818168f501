#include "core/curve/measures.h"

#include <array>

#include "core/curve/area.h"
#include "core/curve/half_height.h"
#include "core/curve/late_dip.h"
#include "core/curve/mean_level.h"
#include "core/curve/peak.h"
#include "core/curve/rates.h"
#include "core/curve/time_above.h"

namespace aftercurve {

namespace {

using Value = std::optional<double>;

constexpr auto areaUnit = MeasureUnit::concentrationMinutes;
constexpr auto levelUnit = MeasureUnit::concentration;
constexpr auto timeUnit = MeasureUnit::minutes;
constexpr auto rateUnit = MeasureUnit::concentrationPerMinute;

const std::array measures{
    Measure{
        "area_positive_incremental", "Incremental area", areaUnit,
        "Area above baseline by trapezoids; what lies under baseline counts nothing (FAO 1998, ISO 26642)",
        [](const WindowPoints& p) -> Value {
            return areaPositiveIncremental(p.timeMin, p.value, p.baseline);
        }},
    Measure{
        "area_net_incremental", "Net incremental area", areaUnit,
        "Area above baseline minus area under it, by trapezoids",
        [](const WindowPoints& p) -> Value { return areaNetIncremental(p.timeMin, p.value, p.baseline); }},
    Measure{"area_total", "Total area", areaUnit, "Area above zero concentration by trapezoids",
            [](const WindowPoints& p) -> Value { return areaTotal(p.timeMin, p.value); }},
    Measure{"area_until_return", "Incremental area until return", areaUnit,
            "Area above baseline up to the first return to baseline after the first rise",
            [](const WindowPoints& p) -> Value { return areaUntilReturn(p.timeMin, p.value, p.baseline); }},
    Measure{"area_above_minimum", "Area above minimum", areaUnit,
            "Area over the lowest value of the window by trapezoids",
            [](const WindowPoints& p) -> Value { return areaAboveMinimum(p.timeMin, p.value); }},
    Measure{"peak", "Peak", levelUnit, "Largest value in the window",
            [](const WindowPoints& p) -> Value { return p.value[peakIndex(p.value)]; }},
    Measure{"peak_rise", "Peak rise", levelUnit, "Peak minus baseline",
            [](const WindowPoints& p) -> Value { return p.value[peakIndex(p.value)] - p.baseline; }},
    Measure{"time_to_peak_min", "Time to peak", timeUnit,
            "Time of the largest value; of several, the earliest",
            [](const WindowPoints& p) -> Value { return p.timeMin[peakIndex(p.value)]; }},
    Measure{"time_to_return_min", "Time to return", timeUnit,
            "First crossing back to baseline after the peak; absent where the curve does not return in the "
            "window",
            [](const WindowPoints& p) -> Value { return timeToReturn(p.timeMin, p.value, p.baseline); }},
    Measure{"mean_increment", "Mean increment", levelUnit,
            "Net incremental area divided by the window's length",
            [](const WindowPoints& p) -> Value { return meanIncrement(p.timeMin, p.value, p.baseline); }},
    Measure{"time_weighted_mean", "Time-weighted mean", levelUnit,
            "Total area divided by the window's length",
            [](const WindowPoints& p) -> Value { return timeWeightedMean(p.timeMin, p.value); }},
    Measure{"time_above_baseline_min", "Time above baseline", timeUnit,
            "Time that the curve lies above baseline, by linear crossings",
            [](const WindowPoints& p) -> Value { return timeAbove(p.timeMin, p.value, p.baseline); }},
    Measure{
        "time_above_limit_min", "Time above the limit", timeUnit,
        "Time that the curve lies above the plan's limit for the analyte, by linear crossings; absent where "
        "the plan names none",
        [](const WindowPoints& p) -> Value {
            return p.limit ? Value{timeAbove(p.timeMin, p.value, *p.limit)} : std::nullopt;
        }},
    Measure{
        "late_dip", "Late dip", levelUnit,
        "Baseline minus the lowest value after the peak; absent where the curve does not go under baseline "
        "after it",
        [](const WindowPoints& p) -> Value {
            const auto dip = lateDip(p.timeMin, p.value, p.baseline);
            return dip ? Value{dip->depth} : std::nullopt;
        }},
    Measure{"time_of_late_dip_min", "Time of the late dip", timeUnit,
            "Time of the lowest value after the peak, where it lies under baseline; of several, the earliest",
            [](const WindowPoints& p) -> Value {
                const auto dip = lateDip(p.timeMin, p.value, p.baseline);
                return dip ? Value{dip->timeMin} : std::nullopt;
            }},
    Measure{"rate_of_rise", "Rate of rise", rateUnit,
            "Peak rise divided by time to peak; absent where the curve never rises",
            [](const WindowPoints& p) -> Value { return rateOfRise(p.timeMin, p.value, p.baseline); }},
    Measure{"steepest_rise", "Steepest rise", rateUnit,
            "Largest slope between neighbouring points; absent where none rises",
            [](const WindowPoints& p) -> Value { return steepestRise(p.timeMin, p.value); }},
    Measure{"rate_of_fall", "Rate of fall", rateUnit,
            "Fall from the peak to the return to baseline, or to the window's end where it does not return, "
            "divided by the time it took",
            [](const WindowPoints& p) -> Value { return rateOfFall(p.timeMin, p.value, p.baseline); }},
    Measure{
        "half_height_width_min", "Width at half height", timeUnit,
        "Time around the peak at or above baseline + half the peak rise, by linear crossings; absent where "
        "the curve does not come down under it in the window",
        [](const WindowPoints& p) -> Value { return halfHeightWidth(p.timeMin, p.value, p.baseline); }},
};

}  // namespace

std::span<const Measure> measureList() {
    return measures;
}

std::optional<std::size_t> measureIndex(std::string_view key) {
    for (std::size_t i = 0; i < measures.size(); ++i) {
        if (measures[i].key == key) {
            return i;
        }
    }
    return std::nullopt;
}

std::string measureLabel(std::string_view key) {
    const auto index = measureIndex(key);
    return std::string{index ? measures[*index].label : key};
}

std::string unitOf(const Measure& measure, std::string_view concentrationUnit) {
    switch (measure.unit) {
        case MeasureUnit::concentrationMinutes:
            return std::string{concentrationUnit} + " × min";
        case MeasureUnit::concentration:
            return std::string{concentrationUnit};
        case MeasureUnit::minutes:
            return "min";
        case MeasureUnit::concentrationPerMinute:
            return std::string{concentrationUnit} + "/min";
    }
    return {};
}

}  // namespace aftercurve
