#include "ui/window/pages/page.h"

#include <QComboBox>
#include <QFontDatabase>
#include <QHBoxLayout>
#include <QLabel>
#include <QPushButton>
#include <QSignalBlocker>
#include <QSplitter>
#include <QVBoxLayout>

#include "ui/models/look.h"
#include "ui/models/text.h"
#include "ui/window/result_view.h"

namespace aftercurve {

Chooser::Chooser(const QString& label, const QString& objectName, QWidget* parent)
    : QWidget(parent), box_(new QComboBox(this)) {
    auto* row = new QHBoxLayout(this);
    row->setContentsMargins(0, 0, 0, 0);
    auto* name = new QLabel(label, this);
    name->setBuddy(box_);
    row->addWidget(name);
    row->addWidget(box_);
    box_->setObjectName(objectName);
    box_->setAccessibleName(QString(label).remove(u'&'));
    box_->setSizeAdjustPolicy(QComboBox::AdjustToContents);
    connect(box_, &QComboBox::currentIndexChanged, this, &Chooser::chosen);
}

std::string Chooser::value() const {
    return plain(box_->currentData().toString());
}

void Chooser::clear() {
    const QSignalBlocker quiet(box_);
    box_->clear();
}

void Chooser::add(const QString& text, const std::string& value) {
    const QSignalBlocker quiet(box_);
    box_->addItem(text, shown(value));
}

EmptyNotice::EmptyNotice(QWidget* parent)
    : QWidget(parent),
      buttons_(new QHBoxLayout),
      title_(new QLabel(this)),
      text_(new QLabel(this)),
      code_(new QLabel(this)) {
    const int em = fontMetrics().height();
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(em * 2, em * 3, em * 2, em * 2);
    column->setSpacing(em * 2 / 3);
    QFont large = title_->font();
    large.setPointSizeF(large.pointSizeF() * 1.4);
    title_->setFont(large);
    for (QLabel* label : {title_, text_, code_}) {
        label->setWordWrap(true);
        label->setTextFormat(Qt::PlainText);
        label->setMaximumWidth(em * 42);
        column->addWidget(label);
    }
    code_->setFont(QFontDatabase::systemFont(QFontDatabase::FixedFont));
    code_->setTextInteractionFlags(Qt::TextSelectableByMouse | Qt::TextSelectableByKeyboard);
    code_->setAccessibleName(tr("Example to copy"));
    code_->setMargin(em / 2);
    code_->setFrameShape(QFrame::StyledPanel);
    buttons_->addStretch(1);
    column->addLayout(buttons_);
    column->addStretch(1);
}

QPushButton* EmptyNotice::addButton(const QString& text, const QString& objectName,
                                    const std::function<void()>& act) {
    auto* button = new QPushButton(text, this);
    button->setObjectName(objectName);
    buttons_->insertWidget(buttons_->count() - 1, button);
    connect(button, &QPushButton::clicked, this, act);
    return button;
}

void EmptyNotice::setWords(const QString& title, const QString& text, const QString& code) {
    title_->setText(title);
    text_->setText(text);
    code_->setText(code);
    code_->setVisible(!code.isEmpty());
}

QVBoxLayout* pageColumn(QWidget* page) {
    const int em = page->fontMetrics().height();
    auto* column = new QVBoxLayout(page);
    column->setContentsMargins(em, em / 2, em, em / 2);
    return column;
}

QHBoxLayout* controlRow(QWidget* page) {
    auto* row = new QHBoxLayout;
    row->setSpacing(page->fontMetrics().height());
    return row;
}

QLabel* heading(const QString& text, QWidget* parent) {
    auto* label = new QLabel(text, parent);
    QFont font = label->font();
    font.setWeight(QFont::DemiBold);
    label->setFont(font);
    return label;
}

QLabel* resultSentence(const QString& objectName, const QString& accessibleName, QWidget* parent) {
    auto* sentence = new QLabel(parent);
    sentence->setObjectName(objectName);
    sentence->setWordWrap(true);
    sentence->setTextFormat(Qt::PlainText);
    sentence->setTextInteractionFlags(Qt::TextSelectableByMouse | Qt::TextSelectableByKeyboard);
    sentence->setAccessibleName(accessibleName);
    return sentence;
}

QSplitter* tableOverDetail(QWidget* page, ResultView* table, QLabel* sentence, ResultView* subjects,
                           QWidget* picture) {
    const int em = page->fontMetrics().height();
    auto* full = new QSplitter(Qt::Vertical, page);
    full->setChildrenCollapsible(false);
    full->setContentsMargins(em, em / 2, em, em / 2);
    table->setMinimumHeight(em * 6);
    full->addWidget(table);
    auto* below = new QSplitter(Qt::Horizontal, full);
    below->setChildrenCollapsible(false);
    auto* words = new QWidget(below);
    auto* column = new QVBoxLayout(words);
    column->setContentsMargins(0, em / 3, 0, 0);
    column->addWidget(sentence);
    column->addWidget(heading(Page::tr("Each subject"), words));
    column->addWidget(subjects, 1);
    below->addWidget(words);
    below->addWidget(picture);
    below->setStretchFactor(0, 9);
    below->setStretchFactor(1, 11);
    below->setSizes({em * 36, em * 44});
    full->addWidget(below);
    full->setStretchFactor(0, 0);
    full->setStretchFactor(1, 1);
    full->setSizes({em * 10, em * 30});
    return full;
}

void fillAnalytes(Chooser& chooser, const Study& study) {
    chooser.clear();
    for (const Analyte& analyte : study.analytes) {
        chooser.add(shown(analyte.id), analyte.id);
    }
    chooser.setVisible(study.analytes.size() > 1);
}

}  // namespace aftercurve
