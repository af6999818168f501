#include "core/curve/measures.h"

#include <array>

#include "core/curve/area.h"
#include "core/curve/peak.h"

namespace aftercurve {

namespace {

using Value = std::optional<double>;

constexpr auto areaUnit = MeasureUnit::concentrationMinutes;
constexpr auto levelUnit = MeasureUnit::concentration;
constexpr auto timeUnit = MeasureUnit::minutes;

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
