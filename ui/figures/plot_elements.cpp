#include "ui/figures/plot_elements.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace aftercurve {

namespace {

QString axisNumber(double tick) {
    // The ticker's own rounding error must not show as 1e-16.
    QString text = QString::number(std::abs(tick) < 1e-12 ? 0.0 : tick, 'g', 7);
    return text.replace(u'-', QChar(0x2212));
}

constexpr int blockFlags = Qt::TextWordWrap;

}  // namespace

TextBlock::TextBlock(QCustomPlot* plot, const QString& text, const QFont& font, const QColor& colour,
                     Turn turn, Qt::Alignment alignment)
    : QCPLayoutElement(plot), text_(text), font_(font), colour_(colour), turn_(turn), alignment_(alignment) {
    setMargins(QMargins());
}

QSize TextBlock::minimumOuterSizeHint() const {
    const QFontMetricsF metrics(font_);
    const QRect view = mParentPlot->viewport();
    const int length = turn_ == Turn::level ? view.width() - margins().left() - margins().right()
                                            : view.height() - margins().top() - margins().bottom();
    const QRectF box = metrics.boundingRect(QRectF(0, 0, std::max(1, length), 1e6), blockFlags, text_);
    const int thickness = static_cast<int>(std::ceil(box.height() + 0.15 * metrics.height())) + roomAfter_;
    return turn_ == Turn::level ? QSize(0, thickness + margins().top() + margins().bottom())
                                : QSize(thickness + margins().left() + margins().right(), 0);
}

void TextBlock::draw(QCPPainter* painter) {
    painter->save();
    painter->setFont(font_);
    painter->setPen(QPen(colour_));
    const QRectF box = rect();
    if (turn_ == Turn::level) {
        painter->drawText(box, blockFlags | static_cast<int>(alignment_), text_);
    } else {
        painter->translate(box.left(), box.bottom());
        painter->rotate(-90.0);
        painter->drawText(QRectF(0, 0, box.height(), box.width() - roomAfter_),
                          blockFlags | static_cast<int>(alignment_), text_);
    }
    painter->restore();
}

FigureKey::FigureKey(QCustomPlot* plot, const FigureLook& look, std::vector<KeyEntry> entries)
    : QCPLayoutElement(plot), look_(look), entries_(std::move(entries)) {
    setMargins(QMargins(0, 0, 0, static_cast<int>(std::lround(3.0 * look_.px))));
}

double FigureKey::rowHeight() const {
    return 1.25 * QFontMetricsF(look_.smallFont).height();
}

double FigureKey::textOffset(const KeyEntry& entry) const {
    const bool sample = entry.pen.style() != Qt::NoPen || entry.patch.style() != Qt::NoBrush || !entry.mark.isNone();
    return sample ? 25.0 * look_.px : 0.0;
}

std::vector<FigureKey::Place> FigureKey::places() const {
    const QFontMetricsF metrics(look_.smallFont);
    const double width = mParentPlot->viewport().width();
    std::vector<Place> places;
    double x = 0.0;
    int row = 0;
    for (const KeyEntry& entry : entries_) {
        const double needed = textOffset(entry) + metrics.horizontalAdvance(entry.text);
        if (x > 0.0 && x + needed > width - 12.0 * look_.px) {
            x = 0.0;
            ++row;
        }
        places.push_back({x, row});
        x += needed + 11.0 * look_.px;
    }
    return places;
}

QSize FigureKey::minimumOuterSizeHint() const {
    const std::vector<Place> all = places();
    const int rows = all.empty() ? 0 : all.back().row + 1;
    return {0, static_cast<int>(std::ceil(rows * rowHeight())) + margins().bottom()};
}

void FigureKey::draw(QCPPainter* painter) {
    painter->save();
    painter->setFont(look_.smallFont);
    const std::vector<Place> all = places();
    const double sample = 21.0 * look_.px;
    for (std::size_t i = 0; i < entries_.size(); ++i) {
        const KeyEntry& entry = entries_[i];
        const double left = rect().left() + all[i].x;
        const double top = rect().top() + all[i].row * rowHeight();
        const QPointF middle(left + sample / 2.0, top + rowHeight() / 2.0);
        if (entry.patch.style() != Qt::NoBrush || entry.hatched) {
            const QRectF patch(left + sample * 0.2, top + rowHeight() * 0.2, sample * 0.6, rowHeight() * 0.6);
            painter->setPen(Qt::NoPen);
            painter->setBrush(entry.patch);
            painter->drawRect(patch);
            painter->setPen(entry.pen);
            for (int k = 1; entry.hatched && k < 6; ++k) {
                const double x = patch.left() + patch.width() * k / 6.0;
                painter->drawLine(QLineF(x, patch.top(), x, patch.bottom()));
            }
        } else if (entry.pen.style() != Qt::NoPen) {
            painter->setPen(entry.pen);
            painter->setBrush(Qt::NoBrush);
            painter->drawLine(QLineF(left, middle.y(), left + sample, middle.y()));
        }
        if (!entry.mark.isNone()) {
            entry.mark.applyTo(painter, entry.pen);
            entry.mark.drawShape(painter, middle);
        }
        painter->setPen(QPen(look_.ink));
        painter->drawText(QRectF(left + textOffset(entry), top, rect().right() - left, rowHeight()),
                          Qt::AlignLeft | Qt::AlignVCenter | Qt::TextSingleLine, entry.text);
    }
    painter->restore();
}

QString FigureTicker::getTickLabel(double tick, const QLocale& /*locale*/, QChar /*formatChar*/,
                                   int /*precision*/) {
    return axisNumber(tick);
}

QString FixedTicker::getTickLabel(double tick, const QLocale& /*locale*/, QChar /*formatChar*/,
                                  int /*precision*/) {
    return axisNumber(tick);
}

}  // namespace aftercurve
