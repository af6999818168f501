#include "ui/window/step_bar.h"

#include <QButtonGroup>
#include <QCoreApplication>
#include <QFontMetrics>
#include <QFrame>
#include <QHBoxLayout>
#include <QKeyEvent>
#include <QPainter>
#include <QPainterPath>
#include <QVBoxLayout>
#include <algorithm>
#include <array>

#include "ui/models/look.h"

namespace aftercurve {

namespace {

struct StepText {
    const char* word;
    const char* name;
    double height;  ///< of its point, 0 to 1
};

constexpr std::array<StepText, stepCount> texts{
    {{"study", QT_TRANSLATE_NOOP("Step", "Study"), 0.0},
     {"samples", QT_TRANSLATE_NOOP("Step", "Samples"), 0.15},
     {"exclusions", QT_TRANSLATE_NOOP("Step", "Exclusions"), 0.55},
     {"curves", QT_TRANSLATE_NOOP("Step", "Curves"), 0.9},
     {"measures", QT_TRANSLATE_NOOP("Step", "Measures"), 1.0},
     {"comparisons", QT_TRANSLATE_NOOP("Step", "Comparisons"), 0.75},
     {"index", QT_TRANSLATE_NOOP("Step", "Index"), 0.5},
     {"in-vitro", QT_TRANSLATE_NOOP("Step", "In vitro"), 0.4},
     {"tolerance", QT_TRANSLATE_NOOP("Step", "Tolerance"), 0.33},
     {"evidence", QT_TRANSLATE_NOOP("Step", "Evidence"), 0.28},
     {"figures", QT_TRANSLATE_NOOP("Step", "Figures"), 0.18},
     {"problems", QT_TRANSLATE_NOOP("Step", "Problems"), 0.08},
     {"history", QT_TRANSLATE_NOOP("Step", "History"), 0.0},
     {"planning", QT_TRANSLATE_NOOP("Step", "Planning"), 0.0}}};

const StepText& textOf(Step step) {
    return texts[static_cast<std::size_t>(step)];
}

constexpr int planningStep = static_cast<int>(Step::planning);
/// Where a second row begins.
constexpr int firstBelow = static_cast<int>(Step::comparisons);

QFont nameFont(QFont font, bool current) {
    font.setPointSizeF(font.pointSizeF() * 1.1);
    font.setWeight(current ? QFont::Bold : QFont::DemiBold);
    return font;
}

QFont statusFont(QFont font) {
    font.setPointSizeF(font.pointSizeF() * 0.92);
    return font;
}

}  // namespace

QString nameOf(Step step) {
    return QCoreApplication::translate("Step", textOf(step).name);
}

QString stepWord(Step step) {
    return QLatin1String(textOf(step).word);
}

QString stepKeys(Step step) {
    switch (step) {
        case Step::planning:
            return QStringLiteral("Ctrl+0");
        case Step::history:
            return QStringLiteral("Ctrl+H");
        case Step::laboratory:
            return QStringLiteral("Ctrl+L");
        case Step::tolerance:
            return QStringLiteral("Ctrl+T");
        case Step::evidence:
            return QStringLiteral("Ctrl+8");
        case Step::figures:
            return QStringLiteral("Ctrl+G");
        case Step::problems:
            return QStringLiteral("Ctrl+9");
        default:
            return QStringLiteral("Ctrl+%1").arg(static_cast<int>(step) + 1);
    }
}

StepButton::StepButton(Step step, QWidget* parent) : QAbstractButton(parent), step_(step) {
    setText(nameOf(step));
    setObjectName(QStringLiteral("step.") + stepWord(step));
    setCheckable(true);
    setCursor(Qt::PointingHandCursor);
    setFocusPolicy(Qt::StrongFocus);
    setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Fixed);
    setAccessibleName(nameOf(step));
}

void StepButton::setStatus(const QString& status, int changed) {
    status_ = status;
    changed_ = changed;
    const QString marks = changed == 0 ? QString() : tr(", %n value(s) changed", nullptr, changed);
    setAccessibleDescription(status_ + marks);
    updateGeometry();
    setToolTip(tr("%1 (%2)").arg(status_.isEmpty() ? text() : status_, stepKeys(step_)));
    update();
}

QPointF StepButton::point() const {
    const double em = fontMetrics().height();
    return {em, em * (1.75 - 1.2 * textOf(step_).height)};
}

QSize StepButton::sizeHint() const {
    const int em = fontMetrics().height();
    const QFontMetrics name(nameFont(font(), true));
    const QFontMetrics status(statusFont(font()));
    const int words = std::max(name.horizontalAdvance(text()), status.horizontalAdvance(status_));
    return {words + em * 3 / 2, em * 19 / 4};
}

QSize StepButton::minimumSizeHint() const {
    const QFontMetrics name(nameFont(font(), true));
    return {name.horizontalAdvance(text()) + fontMetrics().height(), sizeHint().height()};
}

void StepButton::paintEvent(QPaintEvent*) {
    QPainter painter(this);
    painter.setRenderHint(QPainter::Antialiasing);
    const WindowLook look = windowLook(palette());
    const int em = fontMetrics().height();
    const QRect words = rect().adjusted(em / 2, em * 9 / 4, -em / 4, 0);
    if (underMouse() || hasFocus()) {
        QColor wash = look.accent;
        wash.setAlphaF(underMouse() ? 0.08F : 0.0F);
        painter.setBrush(wash);
        painter.setPen(hasFocus() ? QPen(look.accent, 1.5) : QPen(Qt::NoPen));
        painter.drawRoundedRect(QRectF(words).adjusted(-em / 4.0, 0, em / 8.0, -2), 4, 4);
    }
    const double radius = isChecked() ? em * 0.36 : em * 0.25;
    painter.setPen(QPen(look.accent, 2));
    painter.setBrush(isChecked() ? look.accent : palette().color(QPalette::Base));
    painter.drawEllipse(point(), radius, radius);

    painter.setFont(nameFont(font(), isChecked()));
    painter.setPen(!isEnabled()  ? look.muted
                   : isChecked() ? look.accent
                                 : palette().color(QPalette::WindowText));
    const int nameHeight = painter.fontMetrics().height();
    const int nameWidth = painter.fontMetrics().horizontalAdvance(text());
    painter.drawText(QRect(words.left(), words.top() + em / 8, words.width(), nameHeight),
                     Qt::AlignLeft | Qt::AlignVCenter, text());

    painter.setFont(statusFont(font()));
    if (changed_ > 0) {
        const QString marks = tr("%1 changed").arg(changed_);
        const QFontMetrics metrics = painter.fontMetrics();
        const int room = words.width() - nameWidth - em / 2;
        const QString fitting =
            metrics.horizontalAdvance(marks) + em / 2 <= room ? marks : QString::number(changed_);
        const int width = metrics.horizontalAdvance(fitting) + em / 2;
        const QRectF chip(words.left() + nameWidth + em / 3,
                          words.top() + em / 8.0 + (nameHeight - metrics.height()) / 2.0, width,
                          metrics.height());
        painter.fillRect(chip, look.mark);
        painter.fillRect(QRectF(chip.left(), chip.top(), 2, chip.height()), look.markEdge);
        painter.setPen(palette().color(QPalette::WindowText));
        painter.drawText(chip.adjusted(2, 0, 0, 0), Qt::AlignCenter, fitting);
    }
    painter.setPen(look.muted);
    const QRect line(words.left(), words.top() + em / 8 + nameHeight, words.width(),
                     painter.fontMetrics().height());
    painter.drawText(line, Qt::AlignLeft | Qt::AlignVCenter,
                     painter.fontMetrics().elidedText(status_, Qt::ElideRight, line.width()));
}

bool StepButton::event(QEvent* event) {
    if (event->type() == QEvent::Enter || event->type() == QEvent::Leave) {
        update();
    }
    return QAbstractButton::event(event);
}

StepBar::StepBar(QWidget* parent)
    : QWidget(parent),
      group_(new QButtonGroup(this)),
      apart_(new QFrame(this)),
      upper_(new QHBoxLayout),
      lower_(new QHBoxLayout) {
    setObjectName(QStringLiteral("stepBar"));
    setAccessibleName(tr("Steps"));
    auto* rows = new QVBoxLayout(this);
    const int em = fontMetrics().height();
    rows->setContentsMargins(em / 2, em / 6, em / 2, 0);
    rows->setSpacing(0);
    for (QHBoxLayout* row : {upper_, lower_}) {
        row->setSpacing(0);
        rows->addLayout(row);
    }
    for (int i = 0; i < stepCount; ++i) {
        auto* button = new StepButton(static_cast<Step>(i), this);
        group_->addButton(button, i);
        buttons_ << button;
        upper_->addWidget(button);
    }
    apart_->setFrameShape(QFrame::VLine);
    apart_->setFrameShadow(QFrame::Plain);
    QPalette hairline = apart_->palette();
    hairline.setColor(QPalette::WindowText, windowLook(palette()).line);
    apart_->setPalette(hairline);
    upper_->insertWidget(0, &button(Step::planning));
    upper_->insertWidget(1, apart_);
    upper_->insertSpacing(2, em / 3);
    setTabOrder(&button(Step::planning), &button(Step::study));
    buttons_.front()->setChecked(true);
    connect(group_, &QButtonGroup::idToggled, this, [this](int id, bool on) {
        if (on) {
            Q_EMIT chosen(static_cast<Step>(id));
        }
    });
}

int StepBar::widthOf(int first, int last) const {
    int width = 0;
    for (int i = first; i < last; ++i) {
        width += buttons_[i]->minimumSizeHint().width();
    }
    return width;
}

QSize StepBar::minimumSizeHint() const {
    const int em = fontMetrics().height();
    const int planning =
        buttons_[planningStep]->minimumSizeHint().width() + em / 3 + apart_->sizeHint().width();
    const int widest = std::max(planning + widthOf(0, firstBelow), widthOf(firstBelow, planningStep));
    const int rows = below_ > 0 ? 2 : 1;
    return {widest + em, em / 6 + rows * buttons_.front()->sizeHint().height()};
}

void StepBar::arrange() {
    const int em = fontMetrics().height();
    const int needed = widthOf(0, stepCount) + em / 3 + apart_->sizeHint().width() + em;
    const int below = width() < needed ? planningStep - firstBelow : 0;
    if (below == below_) {
        return;
    }
    below_ = below;
    for (int i = firstBelow; i < planningStep; ++i) {
        (below > 0 ? lower_ : upper_)->addWidget(buttons_[i]);
    }
    updateGeometry();
    update();
}

void StepBar::resizeEvent(QResizeEvent* event) {
    QWidget::resizeEvent(event);
    arrange();
}

bool StepBar::event(QEvent* event) {
    // Fonts of the buttons, and so what they need, change before the bar is laid out again.
    if (event->type() == QEvent::LayoutRequest) {
        arrange();
    }
    return QWidget::event(event);
}

Step StepBar::current() const {
    return static_cast<Step>(group_->checkedId());
}

void StepBar::setStudyOpen(bool open) {
    for (StepButton* step : std::as_const(buttons_)) {
        step->setEnabled(open || step == &button(Step::planning));
    }
}

void StepBar::setCurrent(Step step) {
    button(step).setChecked(true);
}

void StepBar::paintEvent(QPaintEvent*) {
    QPainter painter(this);
    painter.setRenderHint(QPainter::Antialiasing);
    const WindowLook look = windowLook(palette());
    QPainterPath path;
    QPointF last;
    for (const StepButton* step : std::as_const(buttons_)) {
        if (step == buttons_[planningStep]) {
            continue;
        }
        const QPointF at = step->mapTo(this, QPoint(0, 0)) + step->point();
        const bool newRow = below_ > 0 && step == buttons_[firstBelow];
        if (path.elementCount() == 0 || newRow) {
            path.moveTo(at);
        } else {
            const double middle = (last.x() + at.x()) / 2.0;
            path.cubicTo(QPointF(middle, last.y()), QPointF(middle, at.y()), at);
        }
        last = at;
    }
    QColor ink = look.accent;
    ink.setAlphaF(0.45F);
    painter.setPen(QPen(ink, 2));
    painter.drawPath(path);
}

void StepBar::keyPressEvent(QKeyEvent* event) {
    const int step = event->key() == Qt::Key_Right ? 1 : event->key() == Qt::Key_Left ? -1 : 0;
    if (step == 0) {
        QWidget::keyPressEvent(event);
        return;
    }
    // Planning stands at the left of the first step.
    const int place = group_->checkedId() == planningStep ? 0 : group_->checkedId() + 1;
    const int wanted = std::clamp(place + step, 0, stepCount - 1);
    const int next = wanted == 0 ? planningStep : wanted - 1;
    if (!buttons_[next]->isEnabled()) {
        return;
    }
    buttons_[next]->setFocus(Qt::TabFocusReason);
    buttons_[next]->setChecked(true);
}

}  // namespace aftercurve
