#pragma once

#include "ui/figures/figure.h"

namespace aftercurve {

using DrawFigure = void (*)(QCustomPlot& plot, const Study& study, const Findings& findings,
                            const FigureChoice& choice, const FigureStyle& style);

/// Draws by `draw` with the language, labels and unit of the style (FigureScope), then applies what is
/// particular to the panel (style.frame): the title over it; the ends and titles of its axes; where its key
/// stands, if at all. An axis of words keeps its range. Panels that share their axes share the choice; what
/// ran to the edge of the range (bands, lines of reference) still does.
void drawFramed(QCustomPlot& plot, DrawFigure draw, const Study& study, const Findings& findings,
                const FigureChoice& choice, const FigureStyle& style);

/// The same kind of figure, drawn so.
template <FigureKind (*make)()>
FigureKind framed() {
    FigureKind kind = make();
    kind.draw = [](QCustomPlot& plot, const Study& study, const Findings& findings,
                   const FigureChoice& choice, const FigureStyle& style) {
        static const DrawFigure bare = make().draw;
        drawFramed(plot, bare, study, findings, choice, style);
    };
    return kind;
}

}  // namespace aftercurve
