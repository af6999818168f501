#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "core/curve/window.h"

namespace aftercurve {

/// What the unit of a measure is made of.
enum class MeasureUnit { concentrationMinutes, concentration, minutes, concentrationPerMinute };

/// One measure: one number from the points of one window.
struct Measure {
    std::string_view key;    ///< as in results.json and in the plan, e.g. "area_positive_incremental"
    std::string_view label;  ///< for people: "Incremental area (positive)"
    MeasureUnit unit = MeasureUnit::concentration;
    std::string_view definition;  ///< one sentence, shown beside the number
    /// Null where the measure does not exist for this curve (a curve that never returns has no time to
    /// return).
    std::optional<double> (*compute)(const WindowPoints& points) = nullptr;
};

/// The list that everything follows: results.json, tables, plan, window. A new measure is one header and one
/// line there.
std::span<const Measure> measureList();

/// Position in measureList().
std::optional<std::size_t> measureIndex(std::string_view key);

/// Label of a measure for people; the key itself where there is no such measure.
std::string measureLabel(std::string_view key);

/// "mmol/L × min", "mmol/L", "min".
std::string unitOf(const Measure& measure, std::string_view concentrationUnit);

}  // namespace aftercurve
