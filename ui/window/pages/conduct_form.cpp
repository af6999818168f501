#include "ui/window/pages/conduct_form.h"

#include <QComboBox>
#include <QCoreApplication>
#include <QFormLayout>
#include <QLabel>
#include <QLineEdit>
#include <QLocale>
#include <QScrollArea>
#include <QVBoxLayout>

#include "ui/models/text.h"
#include "ui/window/edit/edit_bar.h"

namespace aftercurve {

namespace {

enum Answer { notStated, yes, no };

/// What a field is for, beside it.
QString hintFor(std::string_view key) {
    const struct {
        std::string_view key;
        const char* hint;
    } hints[] = {
        {"population", QT_TRANSLATE_NOOP("Conduct", "e.g. healthy adults of 20 to 45 years")},
        {"health_criteria", QT_TRANSLATE_NOOP("Conduct", "e.g. diabetes, medicines that alter digestion")},
        {"blinding", QT_TRANSLATE_NOOP("Conduct", "who did not know which food it was")},
        {"comparator_reason", QT_TRANSLATE_NOOP("Conduct", "why this food is the one to compare with")},
        {"compliance", QT_TRANSLATE_NOOP("Conduct", "e.g. watched; rests were weighed")},
        {"conditions_of_use", QT_TRANSLATE_NOOP("Conduct", "e.g. two slices with each of two meals")},
        {"duration", QT_TRANSLATE_NOOP("Conduct", "whether it was followed, and how long")},
        {"ethics", QT_TRANSLATE_NOOP("Conduct", "committee and number")},
        {"registration", QT_TRANSLATE_NOOP("Conduct", "public register and number")}};
    for (const auto& [name, hint] : hints) {
        if (name == key) {
            return QCoreApplication::translate("Conduct", hint);
        }
    }
    return {};
}

}  // namespace

ConductForm::ConductForm(Session& session, QWidget* parent)
    : QWidget(parent), session_(session), bar_(new EditBar(session, QStringLiteral("conduct"), this)) {
    const int em = fontMetrics().height();
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, em / 2, 0, 0);
    auto* words = new QLabel(tr("What no sample can show, and a published rule or an authority asks for. "
                                "What is left empty is reported as not stated."),
                             this);
    words->setWordWrap(true);
    column->addWidget(words);
    column->addWidget(bar_);
    auto* scroll = new QScrollArea(this);
    scroll->setWidgetResizable(true);
    scroll->setFrameShape(QFrame::NoFrame);
    auto* fields = new QWidget(scroll);
    auto* form = new QFormLayout(fields);
    form->setFieldGrowthPolicy(QFormLayout::AllNonFixedFieldsGrow);
    for (const ConductField& field : conductFields()) {
        const QString name = QStringLiteral("conduct.") + shown(field.key);
        const QString label = shown(field.label);
        QLineEdit* text = nullptr;
        QComboBox* choice = nullptr;
        if (field.yesNo != nullptr) {
            choice = new QComboBox(fields);
            choice->addItems({tr("not stated"), tr("yes"), tr("no")});
            choice->setObjectName(name);
            choice->setAccessibleName(label);
            choice->setMaximumWidth(em * 8);
            form->addRow(label, choice);
            connect(choice, &QComboBox::currentIndexChanged, this, &ConductForm::readForm);
        } else {
            text = new QLineEdit(fields);
            text->setObjectName(name);
            text->setAccessibleName(label);
            text->setMaxLength(2000);
            text->setPlaceholderText(hintFor(field.key));
            if (field.number != nullptr) {
                text->setMaximumWidth(em * 8);
            }
            form->addRow(label, text);
            connect(text, &QLineEdit::editingFinished, this, &ConductForm::readForm);
        }
        texts_.push_back(text);
        yesNo_.push_back(choice);
    }
    scroll->setWidget(fields);
    column->addWidget(scroll, 1);
    connect(&session_, &Session::studyOpened, this, &ConductForm::showStudy);
    connect(&session_, &Session::studyEdited, this, &ConductForm::showStudy);
}

void ConductForm::showStudy() {
    filling_ = true;
    const Conduct& conduct = session_.study()->conduct;
    const bool editable = session_.readOnlyBecause().isEmpty();
    const auto fields = conductFields();
    for (std::size_t i = 0; i < fields.size(); ++i) {
        if (texts_[i] != nullptr) {
            if (!texts_[i]->hasFocus() || !texts_[i]->isModified()) {
                texts_[i]->setText(shown(conductText(conduct, fields[i])));
            }
            texts_[i]->setReadOnly(!editable);
        } else {
            const auto& fact = conduct.*fields[i].yesNo;
            yesNo_[i]->setCurrentIndex(!fact ? notStated : *fact ? yes : no);
            yesNo_[i]->setEnabled(editable);
        }
    }
    filling_ = false;
}

void ConductForm::readForm() {
    if (filling_ || !session_.hasStudy()) {
        return;
    }
    Conduct conduct = session_.study()->conduct;
    const auto fields = conductFields();
    for (std::size_t i = 0; i < fields.size(); ++i) {
        if (fields[i].text != nullptr) {
            conduct.*fields[i].text = plain(texts_[i]->text().simplified());
        } else if (fields[i].number != nullptr) {
            const QString text = texts_[i]->text().trimmed().replace(u',', u'.');
            bool ok = false;
            const double number = QLocale::c().toDouble(text, &ok);
            if (!text.isEmpty() && !ok) {
                Problem problem;
                problem.what = std::string{fields[i].label} + ": '" + plain(text) + "' is no number";
                problem.remedy = "enter a number, or leave it empty";
                bar_->refuse(problem);
                return;
            }
            conduct.*fields[i].number = text.isEmpty() ? std::nullopt : std::optional(number);
        } else {
            const int answer = yesNo_[i]->currentIndex();
            conduct.*fields[i].yesNo = answer == notStated ? std::nullopt : std::optional(answer == yes);
        }
    }
    if (conduct == session_.study()->conduct) {
        return;
    }
    if (const Result<Done> done = session_.change({SetConduct{conduct}}, tr("change of the conduct"));
        !done) {
        bar_->refuse(done.problem());
    } else {
        for (QLineEdit* text : texts_) {
            if (text != nullptr) {
                text->setModified(false);
            }
        }
    }
}

}  // namespace aftercurve
