#include "ui/window/word_controls.h"

#include <QAbstractItemView>
#include <QEvent>
#include <QFontMetrics>
#include <QLocale>
#include <QPainter>
#include <QPainterPath>
#include <QWheelEvent>
#include <algorithm>
#include <cmath>

#include "ui/models/look.h"

namespace aftercurve {

namespace {

int chevronWidth(const QFontMetrics& metrics) {
    return metrics.height() * 3 / 4;
}

QSize wordSize(const QWidget& widget, const QString& text) {
    const QFontMetrics metrics(widget.font());
    return {metrics.horizontalAdvance(text) + chevronWidth(metrics) + metrics.height() / 4 + 3,
            metrics.height() + metrics.height() / 2};
}

void paintWord(QWidget& widget, const QString& text) {
    QPainter painter(&widget);
    painter.setRenderHint(QPainter::Antialiasing);
    const WindowLook look = windowLook(widget.palette());
    const QFontMetrics metrics(widget.font());
    const QRectF box = QRectF(widget.rect()).adjusted(0.5, 0.5, -0.5, -0.5);
    if (widget.hasFocus() || (widget.underMouse() && widget.isEnabled())) {
        QColor wash = look.accent;
        wash.setAlphaF(0.12F);
        painter.setBrush(wash);
        painter.setPen(widget.hasFocus() ? QPen(look.accent, 1.5) : QPen(Qt::NoPen));
        painter.drawRoundedRect(box, 4, 4);
    }
    const int inset = metrics.height() / 4;
    const int right = 2;
    const QColor ink = widget.isEnabled() ? look.accent : look.muted;
    painter.setPen(ink);
    const QRect words = widget.rect().adjusted(inset, 0, -right - chevronWidth(metrics), 0);
    painter.drawText(words, Qt::AlignVCenter | Qt::AlignLeft,
                     metrics.elidedText(text, Qt::ElideRight, words.width() + 1));
    const double side = metrics.height() * 0.22;
    const double x = widget.width() - right - side * 1.4;
    const double y = widget.height() / 2.0 + side * 0.2;
    QPainterPath chevron;
    chevron.moveTo(x - side, y - side * 0.6);
    chevron.lineTo(x, y + side * 0.4);
    chevron.lineTo(x + side, y - side * 0.6);
    painter.setPen(QPen(ink, 1.5, Qt::SolidLine, Qt::RoundCap, Qt::RoundJoin));
    painter.setBrush(Qt::NoBrush);
    painter.drawPath(chevron);
    if (!widget.hasFocus()) {
        const double under = widget.height() / 2.0 + metrics.height() / 2.0 + 1;
        QColor rule = ink;
        rule.setAlphaF(0.5F);
        painter.setPen(QPen(rule, 1));
        painter.drawLine(QPointF(inset, under), QPointF(widget.width() - right, under));
    }
}

}  // namespace

WordChoice::WordChoice(QWidget* parent) : QComboBox(parent) {
    setSizePolicy(QSizePolicy::Fixed, QSizePolicy::Fixed);
    setFocusPolicy(Qt::StrongFocus);
    setAttribute(Qt::WA_Hover);
    connect(this, &QComboBox::currentTextChanged, this, [this] { updateGeometry(); });
}

QSize WordChoice::sizeHint() const {
    return wordSize(*this, currentText());
}

void WordChoice::showPopup() {
    int width = this->width();
    for (int i = 0; i < count(); ++i) {
        width = std::max(width, fontMetrics().horizontalAdvance(itemText(i)) + 3 * fontMetrics().height());
    }
    view()->setMinimumWidth(width);
    QComboBox::showPopup();
}

void WordChoice::paintEvent(QPaintEvent*) {
    paintWord(*this, currentText());
}

void WordChoice::wheelEvent(QWheelEvent* event) {
    // A choice must not change because the pointer passed over it while scrolling.
    event->ignore();
}

bool WordChoice::event(QEvent* event) {
    if (event->type() == QEvent::Enter || event->type() == QEvent::Leave) {
        update();
    }
    return QComboBox::event(event);
}

WordMenu::WordMenu(QWidget* parent) : QToolButton(parent) {
    setPopupMode(QToolButton::InstantPopup);
    setFocusPolicy(Qt::StrongFocus);
    setSizePolicy(QSizePolicy::Fixed, QSizePolicy::Fixed);
}

QSize WordMenu::sizeHint() const {
    return wordSize(*this, text());
}

void WordMenu::paintEvent(QPaintEvent*) {
    paintWord(*this, text());
}

NumberBox::NumberBox(QWidget* parent) : QDoubleSpinBox(parent) {
    setFocusPolicy(Qt::StrongFocus);
    setSizePolicy(QSizePolicy::Fixed, QSizePolicy::Fixed);
}

QSize NumberBox::sizeHint() const {
    return {fontMetrics().horizontalAdvance(QStringLiteral("00000")) + 2 * fontMetrics().height(),
            QDoubleSpinBox::sizeHint().height()};
}

QString NumberBox::textFromValue(double value) const {
    QLocale locale = this->locale();
    locale.setNumberOptions(QLocale::OmitGroupSeparator);
    return locale.toString(value, 'g', QLocale::FloatingPointShortest);
}

double NumberBox::valueFromText(const QString& text) const {
    QString digits = text.trimmed();
    digits.replace(u',', u'.');
    return QLocale::c().toDouble(digits);
}

QValidator::State NumberBox::validate(QString& text, int&) const {
    QString digits = text.trimmed();
    digits.replace(u',', u'.');
    if (digits.isEmpty() || digits == QStringLiteral(".")) {
        return QValidator::Intermediate;
    }
    const bool plain =
        std::all_of(digits.begin(), digits.end(), [](QChar c) { return c.isDigit() || c == u'.'; });
    bool ok = false;
    const double value = QLocale::c().toDouble(digits, &ok);
    if (!plain || !ok || value > maximum()) {
        return QValidator::Invalid;
    }
    return value < minimum() ? QValidator::Intermediate : QValidator::Acceptable;
}

void NumberBox::wheelEvent(QWheelEvent* event) {
    if (hasFocus()) {
        QDoubleSpinBox::wheelEvent(event);
    } else {
        event->ignore();
    }
}

}  // namespace aftercurve
