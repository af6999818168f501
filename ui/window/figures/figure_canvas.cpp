#include "ui/window/figures/figure_canvas.h"

#include <QMouseEvent>
#include <QPainter>
#include <QScreen>
#include <algorithm>
#include <cmath>

#include "ui/export/figure_export.h"
#include "ui/figures/composed_figure.h"
#include "ui/models/look.h"

namespace aftercurve {

namespace {

constexpr qint64 leastPauseMs = 80;
constexpr double mmPerInch = 25.4;
constexpr double pointsPerMm = 72.0 / mmPerInch;
constexpr double unitsPerPoint = 10.0;
/// Finer images of a page would only cost time and memory.
constexpr double mostPixels = 16e6;

}  // namespace

FigureCanvas::FigureCanvas(QWidget* parent) : QWidget(parent), pauseMs_(leastPauseMs) {
    setObjectName(QStringLiteral("figures.canvas"));
    setAccessibleName(tr("Figure as it will be printed"));
    redraw_.setSingleShot(true);
    connect(&redraw_, &QTimer::timeout, this, &FigureCanvas::draw);
    showNothing();
}

void FigureCanvas::showFigure(const FigureSpec& figure, std::shared_ptr<const Results> results) {
    if (figure_ == figure && results_ == results) {
        return;
    }
    const bool resized = !figure_ || figure_->style.widthMm != figure.style.widthMm ||
                         figure_->style.heightMm != figure.style.heightMm;
    figure_ = figure;
    results_ = std::move(results);
    chosen_ = std::min(chosen_, figure.panels.size() - 1);
    if (resized) {
        image_ = {};
        fitSize();
    }
    drawSoon();
}

void FigureCanvas::showNothing() {
    figure_.reset();
    results_.reset();
    dragging_.reset();
    image_ = {};
    drawn_ = false;
    redraw_.stop();
    fitSize();
    update();
}

void FigureCanvas::choosePanel(std::size_t panel) {
    chosen_ = panel;
    update();
}

void FigureCanvas::setZoom(double zoom) {
    zoom_ = zoom;
    fitSize();
    drawSoon();
}

void FigureCanvas::setRoom(const QSize& room) {
    if (room_ == room) {
        return;
    }
    room_ = room;
    if (zoom_ == 0.0) {
        fitSize();
        drawSoon();
    }
}

void FigureCanvas::setPlacingKey(bool on) {
    placingKey_ = on;
    dragging_.reset();
    setCursor(on ? Qt::OpenHandCursor : Qt::ArrowCursor);
}

double FigureCanvas::pixelsPerMm() const {
    const double told = screen() != nullptr ? screen()->physicalDotsPerInch() : 0.0;
    // Beyond these no screen is; a screen that does not know its size tells such.
    const bool plausible = told >= 50.0 && told <= 600.0;
    return (plausible ? told : logicalDpiX()) / mmPerInch;
}

double FigureCanvas::zoom() const {
    if (zoom_ > 0.0 || !figure_ || room_.isEmpty()) {
        return zoom_ > 0.0 ? zoom_ : 1.0;
    }
    // A pixel less, so that rounding never calls for a scroll bar.
    const double margin = 2.0 * fontMetrics().height() + 1.0;
    const double across = (room_.width() - margin) / (figure_->style.widthMm * pixelsPerMm());
    const double down = (room_.height() - margin) / (figure_->style.heightMm * pixelsPerMm());
    return std::clamp(std::min(across, down), 0.1, 4.0);
}

QSize FigureCanvas::sizeHint() const {
    if (!figure_) {
        return {0, 0};
    }
    const double scale = pixelsPerMm() * zoom();
    const int margin = 2 * fontMetrics().height();
    return {static_cast<int>(std::ceil(figure_->style.widthMm * scale)) + margin,
            static_cast<int>(std::ceil(figure_->style.heightMm * scale)) + margin};
}

void FigureCanvas::fitSize() {
    setMinimumSize(sizeHint());
    updateGeometry();
}

QPointF FigureCanvas::corner() const {
    const QSize needed = sizeHint();
    const int margin = fontMetrics().height();
    return QPoint(margin + std::max(0, (width() - needed.width()) / 2),
                  margin + std::max(0, (height() - needed.height()) / 2));
}

QRectF FigureCanvas::panelAt(std::size_t panel) const {
    if (!figure_) {
        return {};
    }
    return panelRect(*figure_, panel, pixelsPerMm() * zoom() / pointsPerMm).translated(corner());
}

QRectF FigureCanvas::keyAreaAt(std::size_t panel) const {
    if (!figure_ || !results_) {
        return {};
    }
    // Laid out as finely as files are, then brought to the size on the screen.
    const double scale = pixelsPerMm() * zoom() / pointsPerMm / unitsPerPoint;
    const QRectF area = axesRect(*figure_, panel, *results_->study, results_->findings, unitsPerPoint);
    return QRectF(area.topLeft() * scale, area.size() * scale).translated(corner());
}

std::optional<std::size_t> FigureCanvas::panelUnder(const QPointF& at) const {
    for (std::size_t i = 0; figure_ && i < figure_->panels.size(); ++i) {
        if (panelAt(i).contains(at)) {
            return i;
        }
    }
    return std::nullopt;
}

void FigureCanvas::drawSoon() {
    drawn_ = false;
    update();
    if (figure_ && results_ && isVisible() && !redraw_.isActive()) {
        const qint64 since = sinceDrawn_.isValid() ? sinceDrawn_.elapsed() : pauseMs_;
        redraw_.start(static_cast<int>(std::max<qint64>(0, pauseMs_ - since)));
    }
}

void FigureCanvas::draw() {
    if (!figure_ || !results_ || !isVisible()) {
        return;
    }
    QElapsedTimer took;
    took.start();
    const double ratio = devicePixelRatioF();
    double pixels = pixelsPerMm() * zoom() * ratio;
    pixels *= std::min(
        1.0, std::sqrt(mostPixels / (pixels * pixels * figure_->style.widthMm * figure_->style.heightMm)));
    image_ = renderImage(*figure_, *results_->study, results_->findings, pixels * mmPerInch);
    drawn_ = true;
    ++timesDrawn_;
    pauseMs_ = std::max(leastPauseMs, took.elapsed());
    sinceDrawn_.restart();
    update();
    Q_EMIT drawn();
}

void FigureCanvas::showEvent(QShowEvent* event) {
    QWidget::showEvent(event);
    if (!drawn_) {
        drawSoon();
    }
}

void FigureCanvas::paintEvent(QPaintEvent*) {
    if (!figure_) {
        return;
    }
    QPainter painter(this);
    const WindowLook look = windowLook(palette());
    const double scale = pixelsPerMm() * zoom();
    const QRectF page(corner(), QSizeF(figure_->style.widthMm, figure_->style.heightMm) * scale);
    painter.fillRect(page, Qt::white);
    painter.setRenderHint(QPainter::SmoothPixmapTransform);
    if (!image_.isNull()) {
        painter.drawImage(page, image_);
    }
    painter.setPen(look.line);
    painter.drawRect(page);
    if (figure_->panels.size() > 1 || placingKey_) {
        painter.setPen(QPen(look.accent, 1.5, placingKey_ ? Qt::DashLine : Qt::SolidLine));
        painter.drawRect(panelAt(chosen_).adjusted(1, 1, -1, -1));
    }
}

KeyPlace FigureCanvas::placeOf(const QPointF& at) const {
    const QPointF key = at - grip_ - keyArea_.topLeft();
    // To a thousandth: finer is not seen, and the file stays legible. A key begins inside its panel.
    const auto share = [](double part) { return std::clamp(std::round(1000.0 * part) / 1000.0, 0.0, 0.999); };
    return {share(key.x() / keyArea_.width()), share(key.y() / keyArea_.height())};
}

void FigureCanvas::mousePressEvent(QMouseEvent* event) {
    const auto panel = panelUnder(event->position());
    if (event->button() != Qt::LeftButton || !panel) {
        QWidget::mousePressEvent(event);
        return;
    }
    Q_EMIT panelChosen(*panel);
    const PanelFrame& frame = figure_->panels[*panel].frame;
    if (!placingKey_ || !frame.showKey) {
        return;
    }
    keyArea_ = keyAreaAt(*panel);
    if (keyArea_.isEmpty()) {
        return;
    }
    dragging_ = panel;
    setCursor(Qt::ClosedHandCursor);
    // A key inside its panel is taken where the pointer is; one above it comes to the pointer when that
    // moves.
    grip_ = {};
    if (frame.key) {
        grip_ = event->position() - keyArea_.topLeft() -
                QPointF(frame.key->x * keyArea_.width(), frame.key->y * keyArea_.height());
    }
}

void FigureCanvas::mouseMoveEvent(QMouseEvent* event) {
    if (!dragging_ || !figure_ || *dragging_ >= figure_->panels.size()) {
        QWidget::mouseMoveEvent(event);
        return;
    }
    Q_EMIT keyPlaced(*dragging_, placeOf(event->position()));
}

void FigureCanvas::mouseReleaseEvent(QMouseEvent* event) {
    dragging_.reset();
    setCursor(placingKey_ ? Qt::OpenHandCursor : Qt::ArrowCursor);
    QWidget::mouseReleaseEvent(event);
}

void FigureCanvas::mouseDoubleClickEvent(QMouseEvent* event) {
    dragging_.reset();
    if (const auto panel = panelUnder(event->position()); panel && placingKey_) {
        Q_EMIT keyPutBack(*panel);
    }
}

}  // namespace aftercurve
