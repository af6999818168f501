#pragma once

#include <QColor>
#include <QPalette>

namespace aftercurve {

/// The few colours beyond the palette's own, chosen so that text on them can be read in a light and in a dark
/// palette.
struct WindowLook {
    QColor accent;     ///< of the current step, links and the line through the steps: bilberry
    QColor onAccent;   ///< text on the accent
    QColor mark;       ///< background of a value that changed: sea buckthorn, pale or deep
    QColor markEdge;   ///< bar at the left of such a value, so that tint is not the only sign
    QColor muted;      ///< text of what does not count
    QColor selection;  ///< background of a chosen row
    QColor line;       ///< hairlines
    QColor error;      ///< ink of the error sign
    QColor warning;    ///< ink of the warning sign
    QColor errorWash;  ///< background of a message that names an error
};

/// Ratio of the lighter to the darker, 1 to 21, and the least that text must have; signs and edges need 3:
/// WCAG 2.1, success criteria 1.4.3 and 1.4.11.
double contrastOf(const QColor& a, const QColor& b);
inline constexpr double leastTextContrast = 4.5;
inline constexpr double leastSignContrast = 3.0;

WindowLook windowLook(const QPalette& palette);

/// The palette with the accent as its highlight, for the whole program.
QPalette withAccent(QPalette palette);

}  // namespace aftercurve
