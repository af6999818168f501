#pragma once

#include <optional>

#include "core/curve/window.h"

namespace aftercurve {

/// What one part [from, to] of a window holds. Absent where a number is too large for a double.
struct WindowPartMeasures {
    std::optional<double> area;               ///< positive incremental, unit × min
    std::optional<double> netArea;            ///< net incremental, unit × min
    std::optional<double> meanIncrement;      ///< net area / (to − from), the analyte's unit
    std::optional<double> meanConcentration;  ///< area above zero / (to − from), the analyte's unit
};

/// Areas by linear trapezoids as in core/curve/area.h, over the whole window's baseline, between `fromMin`
/// and `toMin`; the values there are interpolated linearly where no sample is. 0 ≤ fromMin < toMin ≤ the
/// window's end. Areas of parts that share their ends add up to the area of the window. Source: common
/// practice, no source.
WindowPartMeasures windowPart(const WindowPoints& points, double fromMin, double toMin);

}  // namespace aftercurve
