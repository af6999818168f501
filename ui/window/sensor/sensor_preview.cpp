#include "ui/window/sensor/sensor_preview.h"

#include <QCoreApplication>
#include <algorithm>

#include "core/base/number_text.h"
#include "core/sensor/sensor_clock.h"
#include "ui/figures/figure_look.h"
#include "ui/figures/plot_elements.h"
#include "ui/figures/plot_frame.h"
#include "ui/models/text.h"

namespace aftercurve {

namespace {

constexpr double moreMin = 60.0;

QString say(const char* text) {
    return QCoreApplication::translate("SensorPreview", text);
}

/// A run of readings without a gap between them.
struct PreviewLine {
    std::vector<double> time;
    std::vector<double> value;
};

struct PreviewStretch {
    std::vector<double> time;
    std::vector<double> reading;
    std::vector<PreviewLine> smoothed;
    std::size_t step = 1;
};

PreviewStretch stretchAround(const SensorOutcome& outcome, const SensorCurve& curve, double from, double to) {
    PreviewStretch stretch;
    if (!curve.trace) {
        return stretch;
    }
    const std::vector<SensorReading>& readings = outcome.readings->traces[*curve.trace].readings;
    const std::vector<double>& smoothed = outcome.curves->smoothed[*curve.trace];
    const auto minuteOf = [&curve](const SensorReading& reading) {
        return static_cast<double>(reading.second - curve.mark.second) / 60.0;
    };
    const auto before = [&](const SensorReading& reading, double time) { return minuteOf(reading) < time; };
    const auto first = static_cast<std::size_t>(
        std::lower_bound(readings.begin(), readings.end(), from, before) - readings.begin());
    std::size_t last = first;
    while (last < readings.size() && minuteOf(readings[last]) <= to) {
        ++last;
    }
    stretch.step = 1 + (last - first) / mostPreviewReadings;
    for (std::size_t i = first; i < last; i += stretch.step) {
        const double time = minuteOf(readings[i]);
        const bool begins =
            stretch.time.empty() || (i > first && minuteOf(readings[i]) - minuteOf(readings[i - 1]) >
                                                      outcome.cut.smoothing.maxGapMin);
        if (begins) {
            stretch.smoothed.emplace_back();
        }
        stretch.time.push_back(time);
        stretch.reading.push_back(readings[i].value);
        stretch.smoothed.back().time.push_back(time);
        stretch.smoothed.back().value.push_back(smoothed[i]);
    }
    return stretch;
}

/// The cut curve, broken at gaps.
std::vector<PreviewLine> linesOf(const SensorCurve& curve, double maxGapMin) {
    std::vector<PreviewLine> lines;
    const std::size_t step = 1 + curve.points.size() / mostPreviewReadings;
    for (std::size_t i = 0; i < curve.points.size(); i += step) {
        if (i == 0 || curve.points[i].timeMin - curve.points[i - 1].timeMin > maxGapMin) {
            lines.emplace_back();
        }
        lines.back().time.push_back(curve.points[i].timeMin);
        lines.back().value.push_back(curve.points[i].value);
    }
    return lines;
}

}  // namespace

QString sensorCurveWords(const SensorCurve& curve) {
    QString words = say("Coverage %1 %, %2 readings, %3 of them at or before the meal.")
                        .arg(shown(fixedNumber(curve.coveragePercent, 1)))
                        .arg(curve.points.size())
                        .arg(curve.baselineReadings);
    if (curve.shortened) {
        words +=
            u' ' + say("Cut at %1 min, where the next meal begins.").arg(shown(plainNumber(curve.endMin)));
    }
    if (curve.longestGapMin > 0.0) {
        words += u' ' + say("A gap of %1 min.").arg(shown(fixedNumber(curve.longestGapMin, 1)));
    }
    if (!curve.isUsed()) {
        words += u' ' + say("Left out: %1.").arg(shown(curve.leftOutBecause));
    }
    return keptTogether(words);
}

void drawSensorPreview(QCustomPlot& plot, const SensorOutcome& outcome, std::optional<std::size_t> curve,
                       const FigureStyle& style) {
    const FigureLook look = lookFor(plot, style);
    if (!outcome.curves || !curve || *curve >= outcome.curves->curves.size()) {
        drawEmpty(plot, look, say("No meal is chosen."));
        return;
    }
    const SensorCurve& chosen = outcome.curves->curves[*curve];
    const double from = -outcome.cut.beforeMin - moreMin;
    const double to = outcome.cut.afterMin + moreMin;
    const PreviewStretch stretch = stretchAround(outcome, chosen, from, to);
    if (stretch.time.empty()) {
        drawEmpty(plot, look, say("There are no readings around this meal."));
        return;
    }
    clearPlot(plot, look);
    const QColor colour(0x00, 0x72, 0xB2);
    const QColor ink = look.grey ? look.ink : colour;
    QPen dashed = solidPen(look.mid, look.thin);
    dashed.setDashPattern({3.0, 2.0});
    const QCPScatterStyle dot(QCPScatterStyle::ssDisc, look.light, look.light, 0.7 * look.mark);
    const QPen smoothPen = solidPen(look.mid, look.line);
    const QPen curvePen = solidPen(ink, 2.0 * look.line);
    std::vector<KeyEntry> key{{say("reading"), Qt::NoPen, dot}};
    if (outcome.cut.smoothing.kind != SensorSmoothing::none) {
        key.push_back({say("smoothed"), smoothPen, {}});
    }
    key.push_back({chosen.isUsed() ? say("cut curve") : say("cut curve, left out"), curvePen, {}});
    key.push_back({say("meal"), dashed, {}});
    plot.plotLayout()->addElement(0, 0, new FigureKey(&plot, look, std::move(key)));
    QCPAxisRect* panel = newPanel(plot, look);
    plot.plotLayout()->addElement(1, 0, panel);
    plot.plotLayout()->setRowStretchFactor(0, 0.001);
    Span height;
    for (std::size_t i = 0; i < stretch.reading.size(); ++i) {
        height.take(stretch.reading[i]);
    }
    QCPAxis* x = xAxisOf(*panel);
    QCPAxis* y = yAxisOf(*panel);
    x->setRange(from, to);
    y->setRange(height.padded(0.08, 0.15));
    x->setLabel(say("Time after the meal (min)"));
    y->setLabel(say("Glucose (%1)").arg(shown(outcome.curves->unit)));
    setMinuteTicks(*x, 9);
    setNumberTicks(*y, 6);
    addBand(*panel, -outcome.cut.beforeMin, y->range().lower, chosen.endMin, y->range().upper, look.wash);
    addMarks(*panel, QStringLiteral("readings"), stretch.time, stretch.reading, dot)
        ->setObjectName(QStringLiteral("readings"));
    if (outcome.cut.smoothing.kind != SensorSmoothing::none) {
        for (const PreviewLine& line : stretch.smoothed) {
            addCurve(*panel, QStringLiteral("smoothed"), line.time, line.value, smoothPen, {})
                ->setObjectName(QStringLiteral("smoothed"));
        }
    }
    for (const PreviewLine& line : linesOf(chosen, outcome.cut.smoothing.maxGapMin)) {
        addCurve(*panel, QStringLiteral("cut"), line.time, line.value, curvePen, {})
            ->setObjectName(QStringLiteral("cut"));
    }
    for (const MealMark& mark : outcome.marks->marks) {
        const double at = static_cast<double>(mark.second - chosen.mark.second) / 60.0;
        if (mark.subject == chosen.mark.subject && at >= from && at <= to) {
            addLine(*panel, QStringLiteral("meal"), at, y->range().lower, at, y->range().upper, dashed);
            const double across = (at - from) / (to - from);
            const bool left = across < 0.75;  // else the name stands before its line
            addNote(*panel, shown(mark.food), look.smallFont, look.ink, across + (left ? 0.005 : -0.005),
                    0.02, (left ? Qt::AlignLeft : Qt::AlignRight) | Qt::AlignTop);
        }
    }
    if (stretch.step > 1) {
        addNote(*panel, say("One reading in %1 is drawn.").arg(stretch.step), look.smallFont, look.mid, 0.99,
                0.98, Qt::AlignRight | Qt::AlignBottom);
    }
}

}  // namespace aftercurve
