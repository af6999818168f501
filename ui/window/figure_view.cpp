#include "ui/window/figure_view.h"

#include <QEvent>
#include <QLabel>
#include <QStackedLayout>

#include "ui/figures/plot_library.h"
#include "ui/models/text.h"

namespace aftercurve {

namespace {

constexpr int sizeRestsMs = 80;

}  // namespace

FigureView::FigureView(QWidget* parent)
    : QWidget(parent),
      stack_(new QStackedLayout(this)),
      plot_(new QCustomPlot(this)),
      words_(new QLabel(this)) {
    plot_->setAccessibleName(tr("Figure"));
    plot_->setMinimumSize(fontMetrics().height() * 14, fontMetrics().height() * 10);
    words_->setAlignment(Qt::AlignCenter);
    words_->setWordWrap(true);
    words_->setTextFormat(Qt::PlainText);
    words_->setMargin(fontMetrics().height() * 2);
    resized_.setSingleShot(true);
    resized_.setInterval(sizeRestsMs);
    connect(&resized_, &QTimer::timeout, this, &FigureView::drawAnew);
    stack_->addWidget(plot_);
    stack_->addWidget(words_);
    stack_->setCurrentWidget(words_);
    connect(plot_, &QCustomPlot::afterReplot, this, [this] {
        if (drawn_) {
            Q_EMIT drawn();
        }
    });
}

void FigureView::showFigure(std::shared_ptr<const Results> results, std::string_view kind,
                            const FigureChoice& choice) {
    const FigureKind& wanted = figureKind(kind);
    if (!results || !wanted.available(*results->study, results->findings, choice)) {
        showWords(results ? shown(wanted.emptyText) : QString());
        return;
    }
    results_ = std::move(results);
    figure_ = &wanted;
    choice_ = choice;
    drawn_ = false;
    plot_->setAccessibleDescription(shown(wanted.title));
    stack_->setCurrentWidget(plot_);
    drawIfSeen();
}

void FigureView::showWords(const QString& words) {
    results_.reset();
    figure_ = nullptr;
    drawn_ = false;
    words_->setText(words);
    stack_->setCurrentWidget(words_);
}

void FigureView::showEvent(QShowEvent* event) {
    QWidget::showEvent(event);
    drawIfSeen();
}

void FigureView::changeEvent(QEvent* event) {
    QWidget::changeEvent(event);
    if (event->type() == QEvent::FontChange) {
        drawAnew();
    }
}

void FigureView::resizeEvent(QResizeEvent* event) {
    QWidget::resizeEvent(event);
    if (drawn_) {
        resized_.start();
    }
}

void FigureView::drawAnew() {
    drawn_ = false;
    drawIfSeen();
}

void FigureView::drawIfSeen() {
    if (figure_ == nullptr || drawn_ || !isVisible()) {
        return;
    }
    FigureStyle style;
    style.fontPt = font().pointSizeF();
    figure_->draw(*plot_, *results_->study, results_->findings, choice_, style);
    drawn_ = true;
    plot_->replot(QCustomPlot::rpQueuedReplot);
}

}  // namespace aftercurve
