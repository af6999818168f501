#include "ui/window/notice_bar.h"

#include <QHBoxLayout>
#include <QLabel>
#include <QPushButton>
#include <QVBoxLayout>

#include "ui/models/look.h"
#include "ui/models/problems_model.h"

namespace aftercurve {

NoticeBar::NoticeBar(QWidget* parent) : QWidget(parent), column_(new QVBoxLayout(this)) {
    column_->setContentsMargins(0, 0, 0, 0);
    column_->setSpacing(1);
    hide();
}

QWidget* NoticeBar::find(const QString& key) const {
    for (QObject* child : children()) {
        if (child->isWidgetType() && child->objectName() == QStringLiteral("notice.") + key) {
            return static_cast<QWidget*>(child);
        }
    }
    return nullptr;
}

void NoticeBar::tell(const QString& key, Severity severity, const QString& text,
                     const std::vector<NoticeAction>& actions) {
    take(key);
    auto* line = new QWidget(this);
    line->setObjectName(QStringLiteral("notice.") + key);
    line->setAutoFillBackground(true);
    QPalette colours = line->palette();
    const WindowLook look = windowLook(colours);
    colours.setColor(QPalette::Window, severity == Severity::error ? look.errorWash : look.mark);
    line->setPalette(colours);
    const int em = fontMetrics().height();
    auto* row = new QHBoxLayout(line);
    row->setContentsMargins(em, em / 3, em, em / 3);
    row->setSpacing(em / 2);
    auto* sign = new QLabel(line);
    sign->setPixmap(severityIcon(severity).pixmap(em));
    auto* words = new QLabel(text, line);
    words->setObjectName(QStringLiteral("words"));
    words->setTextFormat(Qt::PlainText);
    words->setWordWrap(true);
    words->setTextInteractionFlags(Qt::TextSelectableByMouse | Qt::TextSelectableByKeyboard);
    words->setAccessibleName(tr("Notice"));
    row->addWidget(sign);
    row->addWidget(words, 1);
    for (const NoticeAction& action : actions) {
        auto* button = new QPushButton(action.text, line);
        button->setObjectName(action.name);
        button->setAccessibleName(action.text);
        row->addWidget(button);
        connect(button, &QPushButton::clicked, this, [this, key, run = action.run] {
            take(key);
            run();
        });
    }
    column_->addWidget(line);
    line->show();
    show();
}

void NoticeBar::take(const QString& key) {
    if (QWidget* line = find(key)) {
        line->setObjectName({});
        line->hide();
        column_->removeWidget(line);
        line->deleteLater();
    }
    setVisible(column_->count() > 0);
}

void NoticeBar::clear() {
    while (column_->count() > 0) {
        QWidget* line = column_->itemAt(0)->widget();
        take(line->objectName().mid(QStringLiteral("notice.").size()));
    }
}

QString NoticeBar::textOf(const QString& key) const {
    const QWidget* line = find(key);
    const auto* words = line == nullptr ? nullptr : line->findChild<QLabel*>(QStringLiteral("words"));
    return words == nullptr ? QString() : words->text();
}

}  // namespace aftercurve
