#include "ui/takein/questions_panel.h"

#include <QComboBox>
#include <QFrame>
#include <QHBoxLayout>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QTimer>
#include <QToolButton>
#include <QVBoxLayout>
#include <algorithm>

#include "ui/models/look.h"
#include "ui/models/text.h"
#include "ui/window/pages/page.h"

namespace aftercurve {

namespace {

QLabel* words(const QString& text, QWidget* parent) {
    auto* label = new QLabel(text, parent);
    label->setTextFormat(Qt::PlainText);
    label->setWordWrap(true);
    return label;
}

/// "tables[0].columns[3]" says nothing to a reader; what is asked does.
QString confidenceWord(Confidence confidence) {
    switch (confidence) {
        case Confidence::sure:
            return QuestionsPanel::tr("sure");
        case Confidence::likely:
            return QuestionsPanel::tr("likely");
        case Confidence::unsure:
            return QuestionsPanel::tr("please look");
    }
    return {};
}

/// A capital at the beginning, but not where a file's name stands there.
QString beginning(const QString& text) {
    const bool word = text.startsWith(QStringLiteral("column ")) || text.startsWith(QStringLiteral("the "));
    return word ? asSentence(text) : text;
}

}  // namespace

QuestionsPanel::QuestionsPanel(TakeInSession& session, QWidget* parent)
    : QScrollArea(parent), session_(session) {
    setObjectName(QStringLiteral("takeIn.questions"));
    setWidgetResizable(true);
    setFrameShape(QFrame::NoFrame);
    setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    connect(&session_, &TakeInSession::opened, this, &QuestionsPanel::build);
    connect(&session_, &TakeInSession::mappingChanged, this, &QuestionsPanel::showAnswers);
}

int QuestionsPanel::openQuestions() const {
    return static_cast<int>(
        std::count_if(session_.questions().begin(), session_.questions().end(),
                      [this](const Question& q) { return session_.answerAt(q.key).isEmpty(); }));
}

void QuestionsPanel::build() {
    inside_ = new QWidget;
    const int em = fontMetrics().height();
    auto* column = new QVBoxLayout(inside_);
    column->setContentsMargins(0, em / 2, em / 2, em / 2);
    column->setSpacing(em / 2);
    if (!session_.questions().empty()) {
        column->addWidget(heading(tr("To be answered before anything is taken in"), inside_));
        int number = 0;
        for (const Question& question : session_.questions()) {
            column->addWidget(questionWidget(question, number++));
        }
    }
    column->addWidget(heading(tr("How the files were understood"), inside_));
    std::vector<const GuessedItem*> items;
    for (const GuessedItem& item : session_.items()) {
        items.push_back(&item);
    }
    std::stable_sort(items.begin(), items.end(), [](const GuessedItem* a, const GuessedItem* b) {
        return static_cast<int>(a->confidence) > static_cast<int>(b->confidence);
    });
    for (const GuessedItem* item : items) {
        column->addWidget(itemWidget(*item));
    }
    column->addStretch(1);
    setWidget(inside_);
    showAnswers();
}

QWidget* QuestionsPanel::questionWidget(const Question& question, int number) {
    auto* box = new QFrame(inside_);
    box->setFrameShape(QFrame::StyledPanel);
    box->setAutoFillBackground(true);
    auto* column = new QVBoxLayout(box);
    auto* ask = words(asSentence(shown(question.ask)), box);
    column->addWidget(ask);
    auto* answer = new QComboBox(box);
    answer->setObjectName(QStringLiteral("takeIn.answer%1").arg(number));
    answer->setProperty("key", shown(question.key));
    answer->setAccessibleName(shown(question.ask));
    answer->setEditable(question.answers.empty());
    answer->addItem(tr("not answered yet"), QString());
    for (const std::string& one : question.answers) {
        answer->addItem(shown(one), shown(one));
    }
    if (question.answers.empty()) {
        answer->clear();
        answer->lineEdit()->setPlaceholderText(tr("not answered yet"));
        answer->lineEdit()->setClearButtonEnabled(true);
    }
    auto* refusal = words({}, box);
    QPalette colours = palette();
    colours.setColor(QPalette::WindowText, windowLook(colours).error);
    refusal->setPalette(colours);
    refusal->hide();
    column->addWidget(answer);
    column->addWidget(refusal);
    const auto give = [this, refusal, key = question.key](const QString& text) {
        const Result<Done> done = session_.answer(key, text);
        refusal->setVisible(!done.ok());
        if (!done) {
            refusal->setText(asSentence(shown(done.problem().what)));
        }
        Q_EMIT answered();
    };
    if (question.answers.empty()) {
        connect(answer->lineEdit(), &QLineEdit::editingFinished, this,
                [answer, give] { give(answer->lineEdit()->text()); });
    } else {
        connect(answer, &QComboBox::activated, this,
                [answer, give] { give(answer->currentData().toString()); });
    }
    return box;
}

QWidget* QuestionsPanel::itemWidget(const GuessedItem& item) {
    auto* line = new QWidget(inside_);
    auto* column = new QVBoxLayout(line);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(0);
    auto* what = words(beginning(shown(item.what)), line);
    auto* row = new QHBoxLayout;
    row->setContentsMargins(0, 0, 0, 0);
    auto* why = words(tr("%1: %2").arg(confidenceWord(item.confidence), shown(item.why)), line);
    QPalette colours = palette();
    const WindowLook look = windowLook(colours);
    colours.setColor(QPalette::WindowText, item.confidence == Confidence::unsure ? look.warning : look.muted);
    why->setPalette(colours);
    auto* go = new QToolButton(line);
    go->setText(tr("Correct"));
    go->setAutoRaise(true);
    go->setAccessibleName(tr("Correct: %1").arg(shown(item.what)));
    row->addWidget(why, 1);
    row->addWidget(go, 0, Qt::AlignTop);
    column->addWidget(what);
    column->addLayout(row);
    connect(go, &QToolButton::clicked, this, [this, key = item.key] { Q_EMIT placeWanted(key); });
    return line;
}

void QuestionsPanel::showAnswers() {
    if (inside_ == nullptr) {
        return;
    }
    for (QComboBox* answer : inside_->findChildren<QComboBox*>()) {
        const QString given = session_.answerAt(plain(answer->property("key").toString()));
        const QSignalBlocker quiet(answer);
        if (answer->isEditable()) {
            if (!answer->lineEdit()->hasFocus()) {
                answer->lineEdit()->setText(given);
            }
        } else {
            answer->setCurrentIndex(std::max(0, answer->findData(given)));
        }
    }
}

}  // namespace aftercurve
