#include "ui/window/statistics/control_row.h"

#include <QCheckBox>
#include <QComboBox>
#include <QHBoxLayout>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>

#include "core/base/number_text.h"
#include "ui/models/text.h"
#include "ui/window/flow_layout.h"

namespace aftercurve {

ControlRow::ControlRow(const QString& name, QWidget* parent)
    : QWidget(parent),
      name_(name),
      row_(new FlowLayout(this, fontMetrics().height() / 2, fontMetrics().height() / 3)) {
    setObjectName(name + QStringLiteral(".choices"));
}

void ControlRow::place(const QString& label, QWidget* control) {
    const int em = fontMetrics().height();
    auto* pair = new QWidget(this);
    auto* row = new QHBoxLayout(pair);
    row->setContentsMargins(0, 0, em, 0);
    row->setSpacing(em / 2);
    if (!label.isEmpty()) {
        auto* words = new QLabel(label, pair);
        words->setBuddy(control);
        row->addWidget(words);
        control->setAccessibleName(label);
    }
    control->setParent(pair);
    row->addWidget(control);
    row_->addWidget(pair);
}

void ControlRow::placeChoice(const QString& key, const QString& label,
                             std::function<std::vector<Word>()> words, std::function<std::string()> get,
                             std::function<void(const std::string&)> set) {
    auto* box = new QComboBox(this);
    box->setObjectName(name_ + u'.' + key);
    box->setSizeAdjustPolicy(QComboBox::AdjustToContents);
    place(label, box);
    show_.emplace_back([box, words = std::move(words), get = std::move(get)] {
        box->clear();
        for (const Word& word : words()) {
            box->addItem(word.text, shown(word.word));
        }
        box->setCurrentIndex(box->findData(shown(get())));
    });
    connect(box, &QComboBox::activated, this,
            [box, set = std::move(set)] { set(plain(box->currentData().toString())); });
}

void ControlRow::placeCheck(const QString& key, const QString& label, std::function<bool()> get,
                            std::function<void(bool)> set) {
    auto* box = new QCheckBox(label, this);
    box->setObjectName(name_ + u'.' + key);
    place({}, box);
    show_.emplace_back([box, get = std::move(get)] { box->setChecked(get()); });
    connect(box, &QCheckBox::toggled, this, [this, set = std::move(set)](bool on) {
        if (!filling_) {
            set(on);
        }
    });
}

void ControlRow::placeText(const QString& key, const QString& label, const QString& tip, int letters,
                           std::function<QString()> get, std::function<bool(const QString&)> set) {
    auto* box = new QLineEdit(this);
    box->setObjectName(name_ + u'.' + key);
    box->setToolTip(tip);
    box->setMaxLength(200);
    box->setFixedWidth(fontMetrics().horizontalAdvance(u'0') * (letters + 2));
    place(label, box);
    show_.emplace_back([box, get] { box->setText(get()); });
    connect(box, &QLineEdit::editingFinished, this, [this, box, tip, get, set = std::move(set)] {
        if (filling_ || box->text() == get()) {
            return;
        }
        const QString typed = box->text();
        if (set(typed)) {
            box->setToolTip(tip);
        } else {
            box->setToolTip(tr("“%1” cannot be read here. %2").arg(typed, tip));
            box->setText(get());
        }
    });
}

void ControlRow::placeNumber(const QString& key, const QString& label, const QString& tip,
                             std::function<std::optional<double>()> get,
                             std::function<void(std::optional<double>)> set, bool optional) {
    placeText(
        key, label, tip, 7,
        [get = std::move(get)] {
            const auto value = get();
            return value ? shown(plainNumber(*value)) : QString();
        },
        [set = std::move(set), optional](const QString& text) {
            if (text.trimmed().isEmpty()) {
                if (optional) {
                    set(std::nullopt);
                }
                return optional;
            }
            const auto value = numberFrom(text);
            if (value) {
                set(value);
            }
            return value.has_value();
        });
}

void ControlRow::placeButton(const QString& key, const QString& label, std::function<void()> act) {
    auto* button = new QPushButton(label, this);
    button->setObjectName(name_ + u'.' + key);
    place({}, button);
    connect(button, &QPushButton::clicked, this, [this, act = std::move(act)] {
        if (!filling_) {
            act();
        }
    });
}

void ControlRow::showAll() {
    filling_ = true;
    for (const auto& show : show_) {
        show();
    }
    filling_ = false;
}

}  // namespace aftercurve
