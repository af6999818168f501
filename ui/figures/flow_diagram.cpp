#include "ui/figures/flow_diagram.h"

#include <algorithm>
#include <cmath>

#include "ui/figures/figure_text.h"
#include "ui/figures/flow_boxes.h"
#include "ui/figures/plot_elements.h"
#include "ui/figures/plot_frame.h"
#include "ui/figures/plot_library.h"

namespace aftercurve {

namespace {

QFont scaledFont(const QFont& font, double scale) {
    QFont smaller = font;
    smaller.setPixelSize(std::max(1, static_cast<int>(std::floor(scale * font.pixelSize()))));
    return smaller;
}

/// Paints the boxes into its rectangle of the layout.
class FlowPicture : public QCPLayoutElement {
  public:
    FlowPicture(QCustomPlot* plot, const FigureLook& look, Study study, StudyFlow flow)
        : QCPLayoutElement(plot), look_(look), study_(std::move(study)), flow_(std::move(flow)) {
        setMargins(QMargins());
    }

  protected:
    void draw(QCPPainter* painter) override {
        painter->save();
        painter->translate(rect().topLeft());
        const FlowFont font{
            [this](const std::string& text, double scale) {
                return 1.03 * QFontMetricsF(scaledFont(look_.smallFont, scale))
                                  .horizontalAdvance(QString::fromStdString(text));
            },
            [this](double scale) { return QFontMetricsF(scaledFont(look_.smallFont, scale)).lineSpacing(); }};
        // Half a line stays free at each side for the pens of the outer boxes.
        const double edge = 2.0 * look_.line;
        painter->translate(edge, edge);
        const FlowBoxes boxes =
            flowBoxes(study_, flow_, rect().width() - 2.0 * edge, rect().height() - 2.0 * edge, font);
        painter->setFont(scaledFont(look_.smallFont, boxes.scale));
        for (const FlowLine& line : boxes.lines) {
            drawLine(*painter, line, boxes.scale);
        }
        for (const FlowBox& box : boxes.boxes) {
            drawBox(*painter, box, font.lineHeight(boxes.scale));
        }
        painter->restore();
    }

  private:
    void drawLine(QCPPainter& painter, const FlowLine& line, double scale) const {
        painter.setPen(solidPen(look_.mid, look_.thin));
        painter.drawLine(QLineF(line.x1, line.y1, line.x2, line.y2));
        if (line.head) {
            const double half = 0.35 * scale * look_.mark;
            painter.setBrush(look_.mid);
            painter.drawPolygon(
                QPolygonF({QPointF(line.x2, line.y2), QPointF(line.x2 - half, line.y2 - 2.0 * half),
                           QPointF(line.x2 + half, line.y2 - 2.0 * half)}));
        }
    }

    void drawBox(QCPPainter& painter, const FlowBox& box, double lineHeight) const {
        painter.setPen(solidPen(look_.ink, box.strong ? look_.line : look_.thin));
        painter.setBrush(box.strong ? QBrush(look_.wash) : QBrush(Qt::white));
        painter.drawRect(QRectF(box.x, box.y, box.width, box.height));
        painter.setPen(look_.ink);
        double y = box.y + 0.5 * (box.height - lineHeight * static_cast<double>(box.lines.size()));
        for (const std::string& line : box.lines) {
            painter.drawText(QRectF(box.x, y, box.width, lineHeight),
                             static_cast<int>(Qt::AlignCenter) | Qt::TextDontClip,
                             QString::fromStdString(line));
            y += lineHeight;
        }
    }

    FigureLook look_;
    Study study_;
    StudyFlow flow_;
};

bool available(const Study& /*study*/, const Findings& findings, const FigureChoice& /*choice*/) {
    return findings.flow.subjects > 0;
}

/// The study's foods and their labels alone: all that the boxes read of it.
Study namesOf(const Study& study) {
    Study names;
    names.foods = study.foods;
    return names;
}

void draw(QCustomPlot& plot, const Study& study, const Findings& findings, const FigureChoice& choice,
          const FigureStyle& style) {
    const FigureLook look = lookFor(plot, style);
    if (!available(study, findings, choice)) {
        drawEmpty(plot, look, FigureText::tr(flowDiagramFigure().emptyText.data()));
        return;
    }
    clearPlot(plot, look);
    plot.plotLayout()->addElement(0, 0, new FlowPicture(&plot, look, namesOf(study), findings.flow));
}

}  // namespace

FigureKind flowDiagramFigure() {
    return {"flow",     QT_TRANSLATE_NOOP("Figures", "Flow of subjects"),
            &available, QT_TRANSLATE_NOOP("Figures", "No subject is on record."),
            &draw,      true};
}

}  // namespace aftercurve
