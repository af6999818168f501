#pragma once

#include <QColor>
#include <QFont>
#include <QFontMetricsF>
#include <QStringList>
#include <map>

#include "ui/report/report_page.h"

namespace aftercurve {

/// The letters of a look: DejaVu Sans, which the package list names, in tenths of a point.
QFont fontFor(TextLook look);
/// Dark enough on white, and on the ground of the caution, for 4.5 to 1.
QColor colourFor(TextLook look);

/// Measures texts; keeps what it has looked up. For one thread.
class Letters {
  public:
    const QFont& font(TextLook look) { return of(look).font; }
    double ascent(TextLook look) { return of(look).metrics.ascent(); }
    /// From one baseline to the next.
    double lineHeight(TextLook look);
    double width(const QString& text, TextLook look) { return of(look).metrics.horizontalAdvance(text); }
    /// Width of the longest piece that is not broken at blanks.
    double longestWord(const QString& text, TextLook look);
    /// The text in lines no wider than `width`, broken at words, and within one where it is wider than a
    /// line.
    QStringList wrapped(const QString& text, TextLook look, double width);
    /// One line, cut with an ellipsis where it is wider.
    QString elided(const QString& text, TextLook look, double width);

  private:
    struct Look {
        QFont font;
        QFontMetricsF metrics;
    };
    const Look& of(TextLook look);

    std::map<TextLook, Look> looks_;
};

}  // namespace aftercurve
