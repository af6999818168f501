#include "ui/figures/composed_figure.h"

#include <algorithm>
#include <cmath>

#include "core/figure/figure_words.h"
#include "ui/figures/figure_scope.h"
#include "ui/figures/figure_text.h"
#include "ui/figures/plot_frame.h"

namespace aftercurve {

namespace {

constexpr double mmPerInch = 25.4;
constexpr double pointsPerInch = 72.0;
constexpr double letterSize = 1.25;   ///< of the font of the figure
constexpr double letterStrip = 1.35;  ///< height kept above a panel, in letters

bool hasLetters(const FigureSpec& spec) {
    return spec.letters != PanelLetters::none && spec.panels.size() > 1;
}

QFont letterFont(const FigureSpec& spec, double unitsPerPoint) {
    QFont font(QString::fromStdString(spec.style.fontFamily));
    font.setPixelSize(
        std::max(1, static_cast<int>(std::lround(letterSize * spec.style.fontPt * unitsPerPoint))));
    font.setBold(true);
    font.setHintingPreference(QFont::PreferNoHinting);
    return font;
}

QString letterOf(const FigureSpec& spec, std::size_t panel) {
    const char16_t first = spec.letters == PanelLetters::capital ? u'A' : u'a';
    return {QChar(static_cast<char16_t>(first + panel))};
}

FigureChoice choiceOf(const PanelSpec& panel) {
    FigureChoice choice;
    choice.analyte = panel.analyte;
    choice.measure = panel.measure;
    choice.food = panel.food;
    choice.subject = panel.subject;
    choice.visit = panel.visit;
    choice.page = panel.page;
    return choice;
}

/// The style of one panel: the figure's, in the panel's size and with its frame.
FigureStyle styleOf(const FigureSpec& spec, const PanelSpec& panel, const QSizeF& size,
                    double unitsPerPoint) {
    FigureStyle style = spec.style;
    if (spec.panels.size() > 1) {
        style.widthMm = size.width() / unitsPerPoint / pointsPerInch * mmPerInch;
        style.heightMm = size.height() / unitsPerPoint / pointsPerInch * mmPerInch;
    }
    style.frame = panel.frame;
    return style;
}

void drawPanel(QCustomPlot& plot, const PanelSpec& panel, const FigureStyle& style, const Study& study,
               const Findings& findings) {
    if (isFigureKind(panel.kind)) {
        figureKind(panel.kind).draw(plot, study, findings, choiceOf(panel), style);
        return;
    }
    const FigureScope scope(style);
    drawEmpty(
        plot, lookFor(plot, style),
        FigureText::tr("'%1' is no kind of figure that this program knows.").arg(plainLabel(panel.kind)));
}

/// Height above a panel that its letter has.
double stripOf(const FigureSpec& spec, double unitsPerPoint) {
    return hasLetters(spec) ? letterStrip * letterSize * spec.style.fontPt * unitsPerPoint : 0.0;
}

/// Draws a panel into a plot of its size; gives the style that it is drawn in.
FigureStyle plotPanel(QCustomPlot& plot, const FigureSpec& spec, std::size_t index, const Study& study,
                      const Findings& findings, double unitsPerPoint) {
    const QRectF cell = panelRect(spec, index, unitsPerPoint);
    const double strip = stripOf(spec, unitsPerPoint);
    const QSize size(std::max(1, static_cast<int>(std::ceil(cell.width()))),
                     std::max(1, static_cast<int>(std::ceil(cell.height() - strip))));
    const PanelSpec& panel = spec.panels[index];
    plot.setProperty(pixelsPerPointProperty, unitsPerPoint);
    plot.resize(size);
    plot.setViewport(QRect(QPoint(), size));
    FigureStyle style = styleOf(spec, panel, size, unitsPerPoint);
    drawPanel(plot, panel, style, study, findings);
    return style;
}

void paintPanel(QCPPainter& painter, const FigureSpec& spec, std::size_t index, const Study& study,
                const Findings& findings, double unitsPerPoint) {
    const QRectF cell = panelRect(spec, index, unitsPerPoint);
    const double strip = stripOf(spec, unitsPerPoint);
    QCustomPlot plot;
    const FigureStyle style = plotPanel(plot, spec, index, study, findings, unitsPerPoint);
    painter.save();
    painter.translate(cell.topLeft());
    painter.translate(0.0, strip);
    painter.setFont(lookFor(plot, style).font);  // else the desktop's own font would get into the file
    plot.toPainter(&painter, plot.width(), plot.height());
    painter.restore();
    if (hasLetters(spec)) {
        painter.save();
        painter.setFont(letterFont(spec, unitsPerPoint));
        painter.setPen(QPen(FigureLook{}.ink));
        const QRectF place(cell.left() + 4.0 * unitsPerPoint, cell.top(), cell.width(), strip);
        painter.drawText(place, Qt::AlignLeft | Qt::AlignVCenter, letterOf(spec, index));
        painter.restore();
    }
}

}  // namespace

QRectF panelRect(const FigureSpec& spec, std::size_t panel, double unitsPerPoint) {
    if (panel >= spec.panels.size()) {
        return {};
    }
    const std::size_t columns =
        std::min(static_cast<std::size_t>(std::max(1, spec.columns)), spec.panels.size());
    const std::size_t rows = (spec.panels.size() + columns - 1) / columns;
    const double scale = pointsPerInch / mmPerInch * unitsPerPoint;
    const double width = spec.style.widthMm * scale / static_cast<double>(columns);
    const double height = spec.style.heightMm * scale / static_cast<double>(rows);
    return {width * static_cast<double>(panel % columns), height * static_cast<double>(panel / columns),
            width, height};
}

QRectF axesRect(const FigureSpec& spec, std::size_t panel, const Study& study, const Findings& findings,
                double unitsPerPoint) {
    if (panel >= spec.panels.size()) {
        return {};
    }
    QCustomPlot plot;
    plotPanel(plot, spec, panel, study, findings, unitsPerPoint);
    if (plot.axisRectCount() == 0) {
        return {};
    }
    for (const auto phase :
         {QCPLayoutElement::upPreparation, QCPLayoutElement::upMargins, QCPLayoutElement::upLayout}) {
        plot.plotLayout()->update(phase);
    }
    const QPointF cell = panelRect(spec, panel, unitsPerPoint).topLeft();
    return QRectF(plot.axisRect(0)->rect()).translated(cell.x(), cell.y() + stripOf(spec, unitsPerPoint));
}

void paintFigure(QCPPainter& painter, const FigureSpec& spec, const Study& study, const Findings& findings,
                 double unitsPerPoint) {
    const double scale = pointsPerInch / mmPerInch * unitsPerPoint;
    painter.save();
    painter.fillRect(QRectF(0.0, 0.0, spec.style.widthMm * scale, spec.style.heightMm * scale), Qt::white);
    painter.restore();
    for (std::size_t i = 0; i < spec.panels.size(); ++i) {
        paintPanel(painter, spec, i, study, findings, unitsPerPoint);
    }
}

}  // namespace aftercurve
