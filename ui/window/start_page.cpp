#include "ui/window/start_page.h"

#include <QDir>
#include <QHBoxLayout>
#include <QLabel>
#include <QPainter>
#include <QPainterPath>
#include <QPushButton>
#include <QTableView>
#include <QVBoxLayout>

#include "ui/models/look.h"
#include "ui/window/pages/page.h"
#include "ui/window/pages/problems_page.h"

namespace aftercurve {

namespace {

/// The place to drop a folder on: a dashed frame around a curve that rises and returns.
class DropZone : public QWidget {
  public:
    using QWidget::QWidget;

    void setDropping(bool dropping) {
        dropping_ = dropping;
        update();
    }

  protected:
    void paintEvent(QPaintEvent*) override {
        QPainter painter(this);
        painter.setRenderHint(QPainter::Antialiasing);
        const WindowLook look = windowLook(palette());
        painter.setBrush(dropping_ ? look.mark : palette().color(QPalette::Base));
        painter.setPen(QPen(dropping_ ? look.accent : look.muted, dropping_ ? 2 : 1, Qt::DashLine));
        painter.drawRoundedRect(QRectF(rect()).adjusted(1, 1, -1, -1), 8, 8);
        const double em = fontMetrics().height();
        const double left = width() / 2.0 - 5 * em;
        const double base = 5.0 * em;
        painter.setPen(QPen(look.line, 1.5));
        painter.drawLine(QPointF(left, base), QPointF(left + 10 * em, base));
        QPainterPath curve(QPointF(left, base));
        curve.cubicTo({left + 2 * em, base}, {left + 2 * em, base - 3.4 * em},
                      {left + 3.6 * em, base - 3.4 * em});
        curve.cubicTo({left + 5.6 * em, base - 3.4 * em}, {left + 6.6 * em, base + 0.2 * em},
                      {left + 10 * em, base});
        painter.setPen(QPen(look.accent, 2.5, Qt::SolidLine, Qt::RoundCap));
        painter.setBrush(Qt::NoBrush);
        painter.drawPath(curve);
        painter.setBrush(look.accent);
        for (const QPointF& draw : {QPointF(left, base), QPointF(left + 3.6 * em, base - 3.4 * em),
                                    QPointF(left + 10 * em, base)}) {
            painter.drawEllipse(draw, em * 0.24, em * 0.24);
        }
    }

  private:
    bool dropping_ = false;
};

QFont larger(QFont font, double factor) {
    font.setPointSizeF(font.pointSizeF() * factor);
    return font;
}

}  // namespace

StartPage::StartPage(const std::vector<SampleStudy>& samples, QWidget* parent)
    : QWidget(parent), zone_(new DropZone(this)), recent_(new QWidget(this)) {
    setObjectName(QStringLiteral("startPage"));
    const int em = fontMetrics().height();
    auto* outer = new QHBoxLayout(this);
    auto* middle = new QWidget(this);
    middle->setMaximumWidth(em * 44);
    outer->addStretch(1);
    outer->addWidget(middle, 8);
    outer->addStretch(1);
    auto* column = new QVBoxLayout(middle);
    column->setSpacing(em);
    column->addStretch(1);

    auto* inside = new QVBoxLayout(zone_);
    inside->setContentsMargins(em * 2, em * 6, em * 2, em * 2);
    inside->setSpacing(em / 2);
    auto* invitation = new QLabel(tr("Drop a study folder or a laboratory's files here"), zone_);
    invitation->setFont(larger(font(), 1.5));
    invitation->setAlignment(Qt::AlignCenter);
    inside->addWidget(invitation);
    auto* what =
        new QLabel(tr("A study is a folder with study.json and the CSV files that it names. Workbooks and "
                      "text files of a "
                      "laboratory are taken in: what each column holds is shown first and can be corrected."),
                   zone_);
    what->setAlignment(Qt::AlignCenter);
    what->setWordWrap(true);
    inside->addWidget(what);
    auto* open = new QPushButton(tr("Open study folder…"), zone_);
    open->setObjectName(QStringLiteral("start.open"));
    open->setAccessibleName(open->text());
    open->setDefault(true);
    open->setMinimumSize(em * 12, em * 2);
    inside->addSpacing(em / 3);
    auto* takeIn = new QPushButton(tr("Take in files…"), zone_);
    takeIn->setObjectName(QStringLiteral("start.takeIn"));
    takeIn->setAccessibleName(takeIn->text());
    takeIn->setMinimumSize(em * 12, em * 2);
    auto* plan = new QPushButton(tr("Plan a study…"), zone_);
    plan->setObjectName(QStringLiteral("start.plan"));
    plan->setAccessibleName(plan->text());
    plan->setMinimumSize(em * 12, em * 2);
    connect(plan, &QPushButton::clicked, this, &StartPage::planWanted);
    auto* buttons = new QHBoxLayout;
    buttons->addStretch(1);
    buttons->addWidget(open);
    buttons->addWidget(takeIn);
    buttons->addWidget(plan);
    buttons->addStretch(1);
    inside->addLayout(buttons);
    connect(open, &QPushButton::clicked, this, &StartPage::openWanted);
    connect(takeIn, &QPushButton::clicked, this, &StartPage::takeInWanted);
    column->addWidget(zone_);

    recentList_ = new QVBoxLayout(recent_);
    recentList_->setContentsMargins(0, 0, 0, 0);
    recentList_->setSpacing(em / 6);
    column->addWidget(recent_);

    if (!samples.empty()) {
        auto* list = new QVBoxLayout;
        list->setSpacing(em / 6);
        list->addWidget(heading(tr("Invented studies to try"), this));
        for (std::size_t i = 0; i < samples.size(); ++i) {
            addStudy(*list, samples[i].title, samples[i].folder, QStringLiteral("start.sample%1").arg(i));
        }
        column->addLayout(list);
    }
    column->addStretch(2);
}

void StartPage::addStudy(QVBoxLayout& list, const QString& title, const QString& folder,
                         const QString& objectName) {
    auto* button = new QPushButton(title, this);
    button->setObjectName(objectName);
    button->setAccessibleName(tr("Open %1").arg(title));
    button->setToolTip(QDir::toNativeSeparators(folder));
    button->setFlat(true);
    button->setCursor(Qt::PointingHandCursor);
    button->setStyleSheet(
        QStringLiteral("QPushButton { text-align: left; padding: 3px 6px; color: palette(link); }"
                       "QPushButton:hover, QPushButton:focus { text-decoration: underline; }"));
    list.addWidget(button);
    connect(button, &QPushButton::clicked, this, [this, folder] { Q_EMIT studyWanted(folder); });
}

void StartPage::setRecent(const QStringList& folders) {
    while (QLayoutItem* item = recentList_->takeAt(0)) {
        item->widget()->deleteLater();
        delete item;
    }
    recent_->setVisible(!folders.isEmpty());
    if (folders.isEmpty()) {
        return;
    }
    recentList_->addWidget(heading(tr("Opened lately"), recent_));
    int number = 0;
    for (const QString& folder : folders) {
        const QString title = tr("%1 — %2").arg(QDir(folder).dirName(), QDir::toNativeSeparators(folder));
        addStudy(*recentList_, title, folder, QStringLiteral("start.recent%1").arg(number++));
    }
}

void StartPage::setDropping(bool dropping) {
    static_cast<DropZone*>(zone_)->setDropping(dropping);
}

ReadFailurePage::ReadFailurePage(QWidget* parent)
    : QWidget(parent),
      title_(new QLabel(this)),
      path_(new QLabel(this)),
      problems_(new ProblemsView(QStringLiteral("failure"), this)),
      back_(new QPushButton(this)) {
    setObjectName(QStringLiteral("failurePage"));
    const int em = fontMetrics().height();
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(em * 2, em * 2, em * 2, em);
    column->setSpacing(em * 2 / 3);
    title_->setObjectName(QStringLiteral("failure.title"));
    title_->setFont(larger(font(), 1.4));
    title_->setTextFormat(Qt::PlainText);
    title_->setWordWrap(true);
    path_->setTextFormat(Qt::PlainText);
    path_->setWordWrap(true);
    path_->setTextInteractionFlags(Qt::TextSelectableByMouse | Qt::TextSelectableByKeyboard);
    path_->setAccessibleName(tr("Folder"));
    column->addWidget(title_);
    column->addWidget(path_);
    column->addWidget(problems_, 1);
    auto* row = new QHBoxLayout;
    auto* again = new QPushButton(tr("Read again"), this);
    again->setObjectName(QStringLiteral("failure.again"));
    again->setAccessibleName(again->text());
    back_->setObjectName(QStringLiteral("failure.back"));
    back_->setAccessibleName(tr("Back"));
    row->addWidget(again);
    row->addWidget(back_);
    row->addStretch(1);
    column->addLayout(row);
    connect(again, &QPushButton::clicked, this, [this] { Q_EMIT this->again(folder_); });
    connect(back_, &QPushButton::clicked, this, &ReadFailurePage::back);
}

void ReadFailurePage::showFailure(const QString& folder, const std::vector<Problem>& problems,
                                  const QString& earlierStudy) {
    folder_ = folder;
    title_->setText(tr("“%1” could not be read").arg(QDir(folder).dirName()));
    path_->setText(tr("%1\nNothing of it was used. Mend what is listed here, then read it again.")
                       .arg(QDir::toNativeSeparators(folder)));
    problems_->setProblems(problems);
    back_->setText(earlierStudy.isEmpty() ? tr("Back")
                                          : tr("Back to %1")
                                                .arg(fontMetrics().elidedText(earlierStudy, Qt::ElideRight,
                                                                              fontMetrics().height() * 20)));
    back_->setAccessibleName(back_->text());
}

}  // namespace aftercurve
