#include "ui/figures/plot_elements.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "ui/figures/figure_scope.h"
#include "ui/figures/figure_text.h"

namespace aftercurve {

namespace {

/// As many decimals as the step between ticks has, so that 5.0 stands beside 5.5.
QString axisNumber(double tick, double step, bool comma) {
    int decimals = 0;
    double scaled = std::abs(step);
    while (decimals < 9 && scaled > 0.0 && std::abs(scaled - std::round(scaled)) > 1e-6 * scaled) {
        scaled *= 10.0;
        ++decimals;
    }
    QString text = numberText(tick, decimals);
    return comma ? text.replace(u'.', u',') : text;
}

bool commaInForce() {
    const FigureStyle* style = FigureScope::current();
    return style != nullptr && style->language != FigureLanguage::english;
}

/// Room between a stacked key's edge and its entries, in points.
constexpr double stackedRoomPt = 2.5;

}  // namespace

TextBlock::TextBlock(QCustomPlot* plot, const QString& text, const QFont& font, const QColor& colour,
                     Turn turn, Qt::Alignment alignment)
    : QCPLayoutElement(plot), text_(text), font_(font), colour_(colour), turn_(turn), alignment_(alignment) {
    setMargins(QMargins());
}

QString TextBlock::lines() const {
    const QRect view = mParentPlot->viewport();
    const int length = turn_ == Turn::level ? view.width() - margins().left() - margins().right()
                                            : view.height() - margins().top() - margins().bottom();
    // Broken here and not while painting, whose metrics may differ a little and would ask for another line.
    return wrapped(text_, font_, 0.97 * length);
}

QSize TextBlock::minimumOuterSizeHint() const {
    const QFontMetricsF metrics(font_);
    const double rows = 1.0 + static_cast<double>(lines().count(u'\n'));
    const int thickness =
        static_cast<int>(std::ceil(rows * metrics.lineSpacing() + 0.15 * metrics.height())) + roomAfter_;
    return turn_ == Turn::level ? QSize(0, thickness + margins().top() + margins().bottom())
                                : QSize(thickness + margins().left() + margins().right(), 0);
}

void TextBlock::draw(QCPPainter* painter) {
    painter->save();
    painter->setFont(font_);
    painter->setPen(QPen(colour_));
    const QRectF box = rect();
    const int flags = static_cast<int>(alignment_) | Qt::TextDontClip;
    if (turn_ == Turn::level) {
        painter->drawText(box, flags, lines());
    } else {
        painter->translate(box.left(), box.bottom());
        painter->rotate(-90.0);
        painter->drawText(QRectF(0, 0, box.height(), box.width() - roomAfter_), flags, lines());
    }
    painter->restore();
}

QString wrapped(const QString& text, const QFont& font, double pixels) {
    const QFontMetricsF metrics(font);
    const auto fits = [&](const QString& line) { return metrics.horizontalAdvance(line) <= pixels; };
    QStringList lines;
    for (const QString& given : text.split(u'\n')) {
        QString line;
        const auto put = [&](const QString& piece, const QString& space) {
            const QString longer = line.isEmpty() ? piece : line + space + piece;
            if (!line.isEmpty() && !fits(longer)) {
                lines << line;
                line = piece;
            } else {
                line = longer;
            }
        };
        for (const QString& word : given.split(u' ')) {
            QString space = QStringLiteral(" ");
            qsizetype from = 0;
            if (!fits(word)) {
                for (qsizetype hyphen = word.indexOf(u'-'); hyphen >= 0 && hyphen + 1 < word.size();
                     hyphen = word.indexOf(u'-', from)) {
                    put(word.mid(from, hyphen + 1 - from), space);
                    space.clear();
                    from = hyphen + 1;
                }
            }
            put(word.mid(from), space);
        }
        lines << line;
    }
    return lines.join(u'\n');
}

FigureKey::FigureKey(QCustomPlot* plot, const FigureLook& look, std::vector<KeyEntry> entries)
    : QCPLayoutElement(plot), look_(look), entries_(std::move(entries)) {
    setMargins(QMargins(0, 0, 0, static_cast<int>(std::lround(3.0 * look_.px))));
}

double FigureKey::rowHeight() const {
    return 1.25 * QFontMetricsF(look_.smallFont).height();
}

double FigureKey::textOffset(const KeyEntry& entry) const {
    const bool sample =
        entry.pen.style() != Qt::NoPen || entry.patch.style() != Qt::NoBrush || !entry.mark.isNone();
    return sample ? 25.0 * look_.px : 0.0;
}

bool FigureKey::stacked() const {
    return property(stackedKeyProperty).toBool();
}

std::vector<FigureKey::Place> FigureKey::places() const {
    const QFontMetricsF metrics(look_.smallFont);
    const double width = mParentPlot->viewport().width();
    std::vector<Place> places;
    double x = 0.0;
    int row = 0;
    if (stacked()) {
        for (; row < static_cast<int>(entries_.size()); ++row) {
            places.push_back({0.0, row});
        }
        return places;
    }
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
    if (stacked()) {
        const QFontMetricsF metrics(look_.smallFont);
        double width = 0.0;
        for (const KeyEntry& entry : entries_) {
            width = std::max(width, textOffset(entry) + metrics.horizontalAdvance(entry.text));
        }
        const double room = 2.0 * stackedRoomPt * look_.px;
        return {static_cast<int>(std::ceil(width + room)),
                static_cast<int>(std::ceil(rows * rowHeight() + room)) + margins().bottom()};
    }
    return {0, static_cast<int>(std::ceil(rows * rowHeight())) + margins().bottom()};
}

void FigureKey::draw(QCPPainter* painter) {
    painter->save();
    painter->setFont(look_.smallFont);
    const std::vector<Place> all = places();
    const double sample = 21.0 * look_.px;
    const double room = stacked() ? stackedRoomPt * look_.px : 0.0;
    if (stacked()) {
        const QRectF ground = QRectF(rect());
        const QRectF panel = layout() != nullptr ? QRectF(layout()->rect()) : ground;
        painter->translate(std::min(0.0, panel.right() - ground.right()),
                           std::min(0.0, panel.bottom() - ground.bottom()));
        painter->setPen(Qt::NoPen);
        painter->setBrush(Qt::white);
        painter->drawRect(ground);
    }
    for (std::size_t i = 0; i < entries_.size(); ++i) {
        const KeyEntry& entry = entries_[i];
        const double left = rect().left() + room + all[i].x;
        const double top = rect().top() + room + all[i].row * rowHeight();
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

FigureTicker::FigureTicker() : comma_(commaInForce()) {}

double FigureTicker::getTickStep(const QCPRange& range) {
    const double wanted = range.size() * factor_ / std::max(1, tickCount());
    const double magnitude = std::pow(10.0, std::floor(std::log10(wanted)));
    step_ = magnitude;
    for (const double factor : {2.0, 5.0, 10.0}) {
        // Nearest on the scale of ratios.
        if (std::abs(std::log(factor * magnitude / wanted)) < std::abs(std::log(step_ / wanted))) {
            step_ = factor * magnitude;
        }
    }
    return step_ / factor_;
}

QString FigureTicker::getTickLabel(double tick, const QLocale& /*locale*/, QChar /*formatChar*/,
                                   int /*precision*/) {
    return axisNumber(tick * factor_, step_, comma_);
}

MinuteTicker::MinuteTicker(int most) : most_(std::max(1, most)), comma_(commaInForce()) {}

double MinuteTicker::getTickStep(const QCPRange& range) {
    const double length = range.size();
    step_ = 1.0;
    for (const double candidate : {1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 240.0, 480.0, 1440.0}) {
        step_ = candidate;
        if (length / candidate <= most_) {
            break;
        }
    }
    while (length / step_ > 4.0 * most_) {
        step_ *= 10.0;
    }
    return step_;
}

QString MinuteTicker::getTickLabel(double tick, const QLocale& /*locale*/, QChar /*formatChar*/,
                                   int /*precision*/) {
    return axisNumber(tick, step_, comma_);
}

}  // namespace aftercurve
