#include "ui/window/edit/edit_bar.h"

#include <QHBoxLayout>
#include <QLabel>
#include <QLineEdit>
#include <QVBoxLayout>

#include "ui/models/look.h"
#include "ui/models/text.h"

namespace aftercurve {

EditBar::EditBar(Session& session, const QString& name, QWidget* parent)
    : QWidget(parent),
      session_(session),
      by_(new QLineEdit(this)),
      why_(new QLineEdit(this)),
      fields_(new QWidget(this)),
      words_(new QLabel(this)) {
    const int em = fontMetrics().height();
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(em / 4);
    auto* row = new QHBoxLayout(fields_);
    row->setContentsMargins(0, 0, 0, 0);
    auto* byLabel = new QLabel(tr("Changes &by"), fields_);
    byLabel->setBuddy(by_);
    auto* whyLabel = new QLabel(tr("beca&use"), fields_);
    whyLabel->setBuddy(why_);
    by_->setObjectName(name + QStringLiteral(".by"));
    by_->setAccessibleName(tr("Who makes the changes"));
    by_->setPlaceholderText(tr("initials"));
    by_->setMaximumWidth(em * 6);
    by_->setMaxLength(100);
    why_->setObjectName(name + QStringLiteral(".why"));
    why_->setAccessibleName(tr("Why the changes are made"));
    why_->setPlaceholderText(tr("e.g. typing error, checked against the laboratory's sheet"));
    why_->setMaxLength(500);
    row->addWidget(byLabel);
    row->addWidget(by_);
    row->addWidget(whyLabel);
    row->addWidget(why_, 1);
    column->addWidget(fields_);
    words_->setObjectName(name + QStringLiteral(".words"));
    words_->setWordWrap(true);
    words_->setTextFormat(Qt::PlainText);
    words_->hide();
    column->addWidget(words_);
    for (QLineEdit* edit : {by_, why_}) {
        connect(edit, &QLineEdit::textEdited, this, [this] {
            session_.setAuthorship({by_->text(), why_->text()});
            words_->hide();
        });
    }
    connect(&session_, &Session::authorshipChanged, this, &EditBar::readAuthorship);
    connect(&session_, &Session::studyOpened, this, &EditBar::showReadOnly);
    readAuthorship();
}

void EditBar::readAuthorship() {
    const Authorship& author = session_.authorship();
    if (by_->text() != author.by) {
        by_->setText(author.by);
    }
    if (why_->text() != author.why) {
        why_->setText(author.why);
    }
}

void EditBar::showReadOnly() {
    words_->hide();
    fields_->setVisible(session_.readOnlyBecause().isEmpty());
}

void EditBar::refuse(const Problem& problem) {
    const QString remedy = shown(problem.remedy);
    words_->setText(
        tr("Not changed: %1.%2")
            .arg(shown(problem.what), remedy.isEmpty() ? QString() : u' ' + asSentence(remedy) + u'.'));
    QPalette colours = palette();
    colours.setColor(QPalette::WindowText, windowLook(colours).error);
    words_->setPalette(colours);
    words_->show();
    if (by_->text().trimmed().isEmpty()) {
        by_->setFocus();
    } else if (why_->text().trimmed().isEmpty()) {
        why_->setFocus();
    }
}

void EditBar::clearWords() {
    words_->hide();
}

void EditBar::tell(const QString& words) {
    words_->setText(words);
    words_->setPalette(palette());
    words_->show();
}

}  // namespace aftercurve
