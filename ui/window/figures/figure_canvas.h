#pragma once

#include <QElapsedTimer>
#include <QImage>
#include <QTimer>
#include <QWidget>
#include <memory>
#include <optional>

#include "core/figure/figure_spec.h"
#include "ui/window/results.h"

namespace aftercurve {

/// A figure of the manuscript on its page, at its true size on this screen or a share of it. It is drawn as
/// the file will be, not more often than the eye needs, and only while it can be seen.
class FigureCanvas : public QWidget {
    Q_OBJECT

  public:
    explicit FigureCanvas(QWidget* parent);

    void showFigure(const FigureSpec& figure, std::shared_ptr<const Results> results);
    void showNothing();
    void choosePanel(std::size_t panel);
    /// 1: true size; 0: as large as `room` allows.
    void setZoom(double zoom);
    void setRoom(const QSize& room);
    /// While on, a press in a panel takes its key along; a double press puts it back above the panel.
    void setPlacingKey(bool on);

    /// Pixels of the screen a millimetre, as the screen says itself; where it says nonsense, as the desktop
    /// scales text.
    double pixelsPerMm() const;
    double zoom() const;
    /// Where a panel lies in this widget.
    QRectF panelAt(std::size_t panel) const;
    /// Where a panel's axes enclose its data, in this widget: what a key's place is a share of.
    QRectF keyAreaAt(std::size_t panel) const;
    bool isDrawn() const { return drawn_; }
    /// How often the figure was drawn, for a test.
    int timesDrawn() const { return timesDrawn_; }

    QSize sizeHint() const override;

  Q_SIGNALS:
    void panelChosen(std::size_t panel);
    void keyPlaced(std::size_t panel, const aftercurve::KeyPlace& place);
    void keyPutBack(std::size_t panel);
    void drawn();

  protected:
    void paintEvent(QPaintEvent* event) override;
    void showEvent(QShowEvent* event) override;
    void mousePressEvent(QMouseEvent* event) override;
    void mouseMoveEvent(QMouseEvent* event) override;
    void mouseReleaseEvent(QMouseEvent* event) override;
    void mouseDoubleClickEvent(QMouseEvent* event) override;

  private:
    void drawSoon();
    void draw();
    void fitSize();
    QPointF corner() const;
    std::optional<std::size_t> panelUnder(const QPointF& at) const;
    KeyPlace placeOf(const QPointF& at) const;

    std::optional<FigureSpec> figure_;
    std::shared_ptr<const Results> results_;
    std::size_t chosen_ = 0;
    double zoom_ = 1.0;
    QSize room_;
    bool placingKey_ = false;
    std::optional<std::size_t> dragging_;
    QRectF keyArea_;  ///< of the panel whose key is dragged
    QPointF grip_;    ///< from the key's corner to the pointer
    QImage image_;
    bool drawn_ = false;
    int timesDrawn_ = 0;
    QTimer redraw_;
    QElapsedTimer sinceDrawn_;
    qint64 pauseMs_;  ///< as long as a figure took to draw, so that the window has as much time for the rest
};

}  // namespace aftercurve
