#include "ui/window/figures/figure_fields.h"

#include <QCheckBox>
#include <QComboBox>
#include <QFormLayout>
#include <QLabel>
#include <QLineEdit>
#include <QLocale>
#include <QPlainTextEdit>
#include <QVBoxLayout>
#include <algorithm>
#include <cmath>

#include "core/base/number_text.h"
#include "ui/models/look.h"
#include "ui/models/text.h"
#include "ui/window/pages/page.h"

namespace aftercurve {

namespace {

constexpr int longestText = 4000;

/// A caption is one paragraph; a break of lines, or another character that only steers, is a space.
QString oneParagraph(QString text) {
    std::replace_if(
        text.begin(), text.end(), [](QChar c) { return c.category() == QChar::Other_Control; }, u' ');
    return text;
}

}  // namespace

std::string numberIn(const std::optional<double>& number) {
    return number ? plainNumber(*number) : std::string{};
}

bool readNumber(const std::string& text, double& number) {
    bool ok = false;
    const double value = QLocale::c().toDouble(shown(text).trimmed().replace(u',', u'.'), &ok);
    if (ok && std::isfinite(value)) {
        number = value;
        return true;
    }
    return false;
}

bool readNumber(const std::string& text, std::optional<double>& number) {
    if (shown(text).trimmed().isEmpty()) {
        number.reset();
        return true;
    }
    double value = 0.0;
    if (!readNumber(text, value)) {
        return false;
    }
    number = value;
    return true;
}

QLabel* complaintLabel(const QString& objectName, QWidget* parent) {
    auto* label = new QLabel(parent);
    label->setObjectName(objectName);
    label->setWordWrap(true);
    label->setTextFormat(Qt::PlainText);
    label->hide();
    return label;
}

void complain(QLabel& label, const QString& words) {
    QPalette colours = label.parentWidget()->palette();
    colours.setColor(QPalette::WindowText, windowLook(colours).error);
    label.setPalette(colours);
    label.setText(words);
    label.setVisible(!words.isEmpty());
}

QString wordsOf(const Problem& problem) {
    const QString remedy = shown(problem.remedy);
    return asSentence(shown(problem.what)) + (remedy.isEmpty() ? QString() : QStringLiteral("; ") + remedy);
}

FigureFields::FigureFields(QString name, Check check, QWidget* parent)
    : QWidget(parent), name_(std::move(name)), check_(std::move(check)), form_(new QFormLayout(this)) {
    form_->setFieldGrowthPolicy(QFormLayout::AllNonFixedFieldsGrow);
    form_->setRowWrapPolicy(QFormLayout::WrapLongRows);
    form_->setVerticalSpacing(fontMetrics().height() / 3);
}

void FigureFields::addHeading(const QString& text) {
    form_->addRow(heading(text, this));
}

void FigureFields::addWidget(QWidget* widget) {
    form_->addRow(widget);
}

QLabel* FigureFields::place(const QString& label, QWidget* control, const QString& key) {
    control->setObjectName(name_ + u'.' + key);
    if (control->accessibleName().isEmpty()) {
        control->setAccessibleName(label);
    }
    auto* both = new QWidget(this);
    both->setSizePolicy(QSizePolicy::Preferred, QSizePolicy::Maximum);  // no row takes the height left over
    auto* column = new QVBoxLayout(both);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(0);
    QLabel* complaint = complaintLabel(control->objectName() + QStringLiteral(".complaint"), both);
    column->addWidget(control);
    column->addWidget(complaint);
    auto* text = new QLabel(qobject_cast<QCheckBox*>(control) != nullptr ? QString() : label, this);
    text->setBuddy(control);
    form_->addRow(text, both);
    return complaint;
}

FigureFields::Field& FigureFields::add(const QString& key, QWidget* control, QLabel* complaint, Get get,
                                       Set set) {
    auto field = std::make_unique<Field>();
    field->key = key;
    field->control = control;
    field->complaint = complaint;
    field->get = std::move(get);
    field->set = std::move(set);
    fields_.push_back(std::move(field));
    return *fields_.back();
}

void FigureFields::addText(const QString& key, const QString& label, Get get, Set set, const QString& hint) {
    auto* edit = new QLineEdit(this);
    edit->setMaxLength(longestText);
    edit->setPlaceholderText(hint);
    edit->setMinimumWidth(fontMetrics().height() * 4);
    Field& field = add(key, edit, place(label, edit, key), std::move(get), std::move(set));
    field.put = [edit](const QString& text) {
        if (edit->text() != text) {
            edit->setText(text);
        }
    };
    connect(edit, &QLineEdit::textEdited, this,
            [this, at = fields_.size() - 1](const QString& text) { take(at, plain(text)); });
}

void FigureFields::addLongText(const QString& key, const QString& label, Get get, Set set,
                               const QString& hint) {
    auto* edit = new QPlainTextEdit(this);
    edit->setPlaceholderText(hint);
    edit->setTabChangesFocus(true);
    edit->setFixedHeight(fontMetrics().height() * 5);
    edit->setSizePolicy(QSizePolicy::Expanding,
                        QSizePolicy::Fixed);  // else its row takes all height left over
    Field& field = add(key, edit, place(label, edit, key), std::move(get), std::move(set));
    field.put = [edit](const QString& text) {
        if (oneParagraph(edit->toPlainText()) != text) {
            edit->setPlainText(text);
        }
    };
    connect(edit, &QPlainTextEdit::textChanged, this,
            [this, edit, at = fields_.size() - 1] { take(at, plain(oneParagraph(edit->toPlainText()))); });
}

void FigureFields::addChoice(const QString& key, const QString& label, Words words, Get get, Set set) {
    auto* box = new QComboBox(this);
    box->setSizeAdjustPolicy(QComboBox::AdjustToMinimumContentsLengthWithIcon);
    box->setMinimumContentsLength(10);
    box->setFocusPolicy(Qt::StrongFocus);
    Field& field = add(key, box, place(label, box, key), std::move(get), std::move(set));
    field.words = std::move(words);
    field.put = [box](const QString& word) {
        int at = box->findData(word);
        if (at < 0) {
            box->addItem(word, word);
            at = box->count() - 1;
        }
        box->setCurrentIndex(at);
    };
    connect(box, &QComboBox::currentIndexChanged, this,
            [this, box, at = fields_.size() - 1] { take(at, plain(box->currentData().toString())); });
}

void FigureFields::addCheck(const QString& key, const QString& label, Get get, Set set) {
    auto* box = new QCheckBox(label, this);
    Field& field = add(key, box, place(label, box, key), std::move(get), std::move(set));
    field.put = [box](const QString& text) { box->setChecked(!text.isEmpty()); };
    connect(box, &QCheckBox::toggled, this,
            [this, at = fields_.size() - 1](bool on) { take(at, on ? "yes" : ""); });
}

void FigureFields::fill(Field& field) {
    auto* box = qobject_cast<QComboBox*>(field.control);
    if (box == nullptr || !field.words) {
        return;
    }
    box->clear();
    for (const Word& word : field.words(*study_)) {
        box->addItem(word.text, shown(word.word));
    }
}

void FigureFields::setStudy(std::shared_ptr<const Study> study) {
    filling_ = true;
    study_ = std::move(study);
    for (const auto& field : fields_) {
        fill(*field);
    }
    filling_ = false;
}

void FigureFields::show(const FigureSpec& figure, std::size_t panel, bool editable) {
    filling_ = true;
    figure_ = figure;
    panel_ = panel;
    for (const auto& field : fields_) {
        const std::string text = field->get(figure, figure.panels.at(panel));
        // "7." is on its way to "7.5": a text that puts the same into the figure stays as it is typed.
        const auto* edit = qobject_cast<QLineEdit*>(field->control);
        bool same = false;
        if (edit != nullptr && edit->hasFocus()) {
            FigureSpec typed = figure;
            same = field->set(typed, typed.panels[panel], plain(edit->text())) && typed == figure;
        }
        if (!same) {
            field->put(shown(text));
        }
        complain(*field->complaint, {});
        field->control->setEnabled(editable);
    }
    filling_ = false;
}

void FigureFields::take(std::size_t field, const std::string& text) {
    if (filling_ || figure_.panels.empty()) {
        return;
    }
    const Field& of = *fields_[field];
    FigureSpec changed = figure_;
    if (!of.set(changed, changed.panels[panel_], text)) {
        complain(*of.complaint, tr("“%1” is no number").arg(shown(text)));
        return;
    }
    const std::vector<Problem> wrong = check_(changed);
    complain(*of.complaint, wrong.empty() ? QString() : wordsOf(wrong.front()));
    if (wrong.empty() && changed != figure_) {
        figure_ = changed;
        Q_EMIT this->changed(changed, of.key);
    }
}

}  // namespace aftercurve
