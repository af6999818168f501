#pragma once

#include <QColor>
#include <QFont>
#include <QPen>
#include <string_view>

#include "core/study/study.h"
#include "ui/figures/figure.h"
#include "ui/figures/plot_library.h"

namespace aftercurve {

/// Dynamic property (double) by which the exporter tells a plot how many of its pixels make a point; without
/// it the logical resolution of the plot's screen decides.
inline constexpr const char* pixelsPerPointProperty = "aftercurvePixelsPerPoint";

double pixelsPerPoint(const QCustomPlot& plot);

/// The style in pixels of one plot.
struct FigureLook {
    double px = 1.0;    ///< of one point
    QFont font;         ///< axis titles, keys, text
    QFont smallFont;    ///< tick labels, annotations: 7/8 of it
    double line = 1.0;  ///< curves
    double thin = 0.5;  ///< axes, error bars
    double mark = 4.0;  ///< width of a mark
    bool grey = false;

    QColor ink{0x22, 0x22, 0x22};
    QColor mid{0x77, 0x77, 0x77};
    QColor light{0xAA, 0xAA, 0xAA};  ///< what does not count
    QColor wash{0xF1, 0xF3, 0xF4};   ///< ground of a marked range
};

FigureLook lookFor(const QCustomPlot& plot, const FigureStyle& style);

/// How one food is drawn: colour, mark and dash each tell it apart.
/// Reference and control foods are dark neutral; the others take, in order of the study, the colours of Okabe
/// & Ito 2008, "Color Universal Design", which readers with the common colour-vision deficiencies tell apart.
struct FoodLook {
    QColor colour;
    QColor fill;  ///< pale, for shaded regions
    QPen pen;     ///< of curves
    QCPScatterStyle mark;
};

FoodLook foodLook(const Study& study, std::string_view foodId, const FigureLook& look);

/// The pen for marks, error bars and edges: undashed.
QPen solidPen(const QColor& colour, double width);

/// The same mark in another size.
QCPScatterStyle scaledMark(const QCPScatterStyle& mark, double factor);

}  // namespace aftercurve
