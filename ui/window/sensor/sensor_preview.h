#pragma once

#include <QString>
#include <optional>

#include "ui/figures/figure.h"
#include "ui/window/sensor/sensor_session.h"

class QCustomPlot;

namespace aftercurve {

/// Most readings that a preview draws; of more every second, third ... is drawn, and the figure says so.
inline constexpr std::size_t mostPreviewReadings = 4000;

/// Draws the stretch around one meal, an hour more on either side: readings grey, the smoothed line (broken
/// at gaps), the cut curve over it, the marks of all meals. Words where there is nothing to see.
void drawSensorPreview(QCustomPlot& plot, const SensorOutcome& outcome, std::optional<std::size_t> curve,
                       const FigureStyle& style);

/// "Coverage 98.5 %, 43 readings, 7 of them at or before the meal", and why a curve is left out.
QString sensorCurveWords(const SensorCurve& curve);

}  // namespace aftercurve
