#include "ui/window/statistics/plan_controls.h"

#include <QCheckBox>
#include <QComboBox>
#include <QHBoxLayout>
#include <QLabel>
#include <QLineEdit>
#include <QLocale>
#include <QPushButton>

#include "core/base/number_text.h"
#include "ui/models/text.h"
#include "ui/window/flow_layout.h"

namespace aftercurve {

namespace {

/// A number with a decimal point or a decimal comma; nothing where it is none.
std::optional<double> numberIn(QString text) {
    text = text.trimmed();
    text.replace(u'\u2212', u'-').replace(u',', u'.');
    bool ok = false;
    const double value = QLocale::c().toDouble(text, &ok);
    return ok ? std::optional(value) : std::nullopt;
}

}  // namespace

PlanControls::PlanControls(Session& session, const QString& name, QWidget* parent)
    : QWidget(parent),
      session_(session),
      name_(name),
      row_(new FlowLayout(this, fontMetrics().height() / 2, fontMetrics().height() / 3)) {
    setObjectName(name + QStringLiteral(".choices"));
    connect(&session_, &Session::planChanged, this, &PlanControls::showPlan);
    connect(&session_, &Session::studyOpened, this, &PlanControls::showPlan);
    connect(&session_, &Session::studyEdited, this, &PlanControls::showPlan);
}

void PlanControls::place(const QString& label, QWidget* control) {
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

void PlanControls::edit(const Plan& plan) {
    if (!filling_ && session_.hasStudy() && !(plan == session_.plan())) {
        session_.editPlan(plan, PlanPart::whole);
    }
}

void PlanControls::addChoice(const QString& key, const QString& label, const std::vector<Word>& words,
                             std::function<std::string(const Plan&)> get,
                             std::function<void(Plan&, const std::string&)> set) {
    addStudyChoice(
        key, label, [words](const Study&) { return words; }, std::move(get), std::move(set));
}

void PlanControls::addStudyChoice(const QString& key, const QString& label,
                                  std::function<std::vector<Word>(const Study&)> words,
                                  std::function<std::string(const Plan&)> get,
                                  std::function<void(Plan&, const std::string&)> set) {
    auto* box = new QComboBox(this);
    box->setObjectName(name_ + u'.' + key);
    box->setSizeAdjustPolicy(QComboBox::AdjustToContents);
    place(label, box);
    show_.emplace_back([this, box, words = std::move(words), get](const Plan& plan) {
        box->clear();
        for (const Word& word : words(*session_.study())) {
            box->addItem(word.text, shown(word.word));
        }
        box->setCurrentIndex(box->findData(shown(get(plan))));
    });
    connect(box, &QComboBox::activated, this, [this, box, set = std::move(set)] {
        Plan plan = session_.plan();
        set(plan, plain(box->currentData().toString()));
        edit(plan);
    });
}

void PlanControls::addCheck(const QString& key, const QString& label, std::function<bool(const Plan&)> get,
                            std::function<void(Plan&, bool)> set) {
    auto* box = new QCheckBox(label, this);
    box->setObjectName(name_ + u'.' + key);
    place({}, box);
    show_.emplace_back([box, get = std::move(get)](const Plan& plan) { box->setChecked(get(plan)); });
    connect(box, &QCheckBox::toggled, this, [this, set = std::move(set)](bool on) {
        if (!filling_ && session_.hasStudy()) {
            Plan plan = session_.plan();
            set(plan, on);
            edit(plan);
        }
    });
}

void PlanControls::addText(const QString& key, const QString& label, const QString& tip, int letters,
                           std::function<QString(const Plan&)> get,
                           std::function<bool(Plan&, const QString&)> set) {
    auto* box = new QLineEdit(this);
    box->setObjectName(name_ + u'.' + key);
    box->setToolTip(tip);
    box->setMaxLength(200);
    box->setFixedWidth(fontMetrics().horizontalAdvance(u'0') * (letters + 2));
    place(label, box);
    show_.emplace_back([box, get](const Plan& plan) { box->setText(get(plan)); });
    connect(box, &QLineEdit::editingFinished, this, [this, box, tip, get, set = std::move(set)] {
        if (filling_ || !session_.hasStudy() || box->text() == get(session_.plan())) {
            return;
        }
        Plan plan = session_.plan();
        if (set(plan, box->text())) {
            box->setToolTip(tip);
            edit(plan);
        } else {
            box->setToolTip(tr("“%1” cannot be read here. %2").arg(box->text(), tip));
            box->setText(get(session_.plan()));
        }
    });
}

void PlanControls::addNumber(const QString& key, const QString& label, const QString& tip,
                             std::function<std::optional<double>(const Plan&)> get,
                             std::function<void(Plan&, std::optional<double>)> set, bool optional) {
    addText(
        key, label, tip, 7,
        [get = std::move(get)](const Plan& plan) {
            const auto value = get(plan);
            return value ? shown(plainNumber(*value)) : QString();
        },
        [set = std::move(set), optional](Plan& plan, const QString& text) {
            if (text.trimmed().isEmpty()) {
                if (optional) {
                    set(plan, std::nullopt);
                }
                return optional;
            }
            const auto value = numberIn(text);
            if (value) {
                set(plan, value);
            }
            return value.has_value();
        });
}

void PlanControls::addButton(const QString& key, const QString& label,
                             std::function<void(Session&, QWidget*)> act) {
    auto* button = new QPushButton(label, this);
    button->setObjectName(name_ + u'.' + key);
    place({}, button);
    connect(button, &QPushButton::clicked, this, [this, act = std::move(act)] {
        if (session_.hasStudy()) {
            act(session_, window());
        }
    });
}

void PlanControls::showPlan() {
    if (!session_.hasStudy()) {
        return;
    }
    filling_ = true;
    for (const auto& show : show_) {
        show(session_.plan());
    }
    filling_ = false;
}

}  // namespace aftercurve
