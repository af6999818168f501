#include "ui/window/plan_sentence.h"

#include <QAction>
#include <QHBoxLayout>
#include <QLabel>
#include <QMenu>
#include <QPushButton>
#include <QSignalBlocker>
#include <QVBoxLayout>
#include <algorithm>

#include "core/curve/measures.h"
#include "core/findings/validate_plan.h"
#include "ui/models/look.h"
#include "ui/models/text.h"
#include "ui/window/flow_layout.h"
#include "ui/window/session.h"
#include "ui/window/word_controls.h"

namespace aftercurve {

namespace {

constexpr int keysRestMs = 350;

void select(WordChoice& choice, const QString& data) {
    int at = choice.findData(data);
    if (at < 0) {
        // A plan may name what this study does not have; it is shown as it stands, and the message says what
        // is wrong.
        choice.addItem(data, data);
        at = choice.count() - 1;
    }
    choice.setCurrentIndex(at);
}

QString indexWord(const Plan& plan) {
    return plan.index ? shown(wordFor(plan.indexOutlierRule)) : QStringLiteral("off");
}

}  // namespace

PlanSentence::PlanSentence(Session& session, QWidget* parent) : QWidget(parent), session_(session) {
    setObjectName(QStringLiteral("planSentence"));
    build();
    settle_.setSingleShot(true);
    settle_.setInterval(keysRestMs);
    connect(&settle_, &QTimer::timeout, this, &PlanSentence::takeNumbers);
    connect(&session_, &Session::studyOpened, this, &PlanSentence::fillChoices);
    connect(&session_, &Session::planChanged, this, &PlanSentence::showPlan);
    connect(&session_, &Session::busyChanged, this, &PlanSentence::showMessage);
    connect(&session_, &Session::marksChanged, this, &PlanSentence::showMarks);
}

WordChoice* PlanSentence::choice(const char* objectName) {
    auto* made = new WordChoice(this);
    made->setObjectName(QLatin1String(objectName));
    return made;
}

QLabel* PlanSentence::clause(const QString& words, QWidget* control, const QString& after,
                             const QString& name) {
    auto* together = new QWidget(this);
    auto* row = new QHBoxLayout(together);
    row->setContentsMargins(0, 0, 0, 0);
    row->setSpacing(0);
    row->setSizeConstraint(QLayout::SetFixedSize);
    auto* label = new QLabel(words + u' ', together);
    label->setBuddy(control);
    row->addWidget(label);
    row->addWidget(control);
    if (!after.isEmpty()) {
        row->addWidget(new QLabel(after, together));
    }
    control->setAccessibleName(name);
    words_->addWidget(together);
    return label;
}

void PlanSentence::build() {
    const int em = fontMetrics().height();
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(em, em * 3 / 4, em, em / 2);
    column->setSpacing(em / 3);
    auto* sentence = new QWidget(this);
    QFont font = sentence->font();
    font.setPointSizeF(font.pointSizeF() * 1.15);
    sentence->setFont(font);
    words_ = new FlowLayout(sentence, em / 3, em / 4);
    column->addWidget(sentence);

    measure_ = choice("plan.measure");
    further_ = new WordMenu(this);
    further_->setObjectName(QStringLiteral("plan.further"));
    further_->setMenu(new QMenu(further_));
    windowEnd_ = new NumberBox(this);
    windowEnd_->setObjectName(QStringLiteral("plan.windowEnd"));
    windowEnd_->setDecimals(3);
    windowEnd_->setRange(0, 9999);
    windowEnd_->setSingleStep(15);
    baseline_ = choice("plan.baseline");
    gaps_ = choice("plan.gaps");
    comparator_ = choice("plan.comparator");
    alpha_ = new NumberBox(this);
    alpha_->setObjectName(QStringLiteral("plan.alpha"));
    alpha_->setDecimals(6);
    alpha_->setRange(0, 1);
    alpha_->setSingleStep(0.01);
    multiplicity_ = choice("plan.multiplicity");
    index_ = choice("plan.index");

    clause(tr("Take the"), measure_, QString(), tr("Main measure"));
    clause(tr("from 0 to"), windowEnd_, tr(" min"), tr("End of the window in minutes"));
    clause(tr("over the"), baseline_, QStringLiteral(","), tr("Baseline"));
    clause(tr("with"), gaps_, QStringLiteral(";"), tr("Missing draws inside the window"));
    clause(tr("compare each food with"), comparator_, QString(), tr("Comparator"));
    clause(tr("at α ="), alpha_, QStringLiteral(","), tr("Two-sided level alpha"));
    clause(tr("p adjusted by"), multiplicity_, QStringLiteral(";"), tr("Adjustment of p for several foods"));
    clause(tr("compare"), further_, tr(" too;"), tr("Further measures to compare"));
    clause(tr("index:"), index_, QStringLiteral("."), tr("Index and its outliers"));

    // Tab follows the order of reading, not of making.
    QWidget* before = measure_;
    for (QWidget* control : std::initializer_list<QWidget*>{windowEnd_, baseline_, gaps_, comparator_, alpha_,
                                                            multiplicity_, further_, index_}) {
        setTabOrder(before, control);
        before = control;
    }

    message_ = new QLabel(this);
    message_->setObjectName(QStringLiteral("plan.message"));
    message_->setWordWrap(true);
    message_->setTextFormat(Qt::PlainText);
    message_->setVisible(false);
    computeAgain_ = new QPushButton(tr("Compute with this plan"), this);
    computeAgain_->setObjectName(QStringLiteral("plan.computeAgain"));
    computeAgain_->setAccessibleName(computeAgain_->text());
    computeAgain_->setVisible(false);
    auto* messageRow = new QHBoxLayout;
    messageRow->addWidget(message_, 1);
    messageRow->addWidget(computeAgain_);
    column->addLayout(messageRow);
    connect(computeAgain_, &QPushButton::clicked, &session_, &Session::compute);

    marksRow_ = new QWidget(this);
    auto* row = new QHBoxLayout(marksRow_);
    row->setContentsMargins(0, 0, 0, 0);
    marksChip_ = new QLabel(marksRow_);
    marksChip_->setObjectName(QStringLiteral("marks.chip"));
    marksChip_->setToolTip(
        tr("Compared with the results when the study was opened or the marks were last cleared"));
    clearMarks_ = new QPushButton(tr("Clear marks"), marksRow_);
    clearMarks_->setObjectName(QStringLiteral("marks.clear"));
    clearMarks_->setAccessibleName(tr("Clear marks"));
    row->addWidget(marksChip_);
    row->addWidget(clearMarks_);
    row->addStretch(1);
    marksRow_->setVisible(false);
    column->addWidget(marksRow_);
    connect(clearMarks_, &QPushButton::clicked, &session_, &Session::clearMarks);

    const auto onChoice = [this](WordChoice* box, PlanPart part, auto apply) {
        connect(box, &QComboBox::currentIndexChanged, this, [this, box, part, apply] {
            if (!filling_) {
                Plan plan = session_.plan();
                apply(plan, plain(box->currentData().toString()));
                edit(part, plan);
            }
        });
    };
    onChoice(measure_, PlanPart::measure, [](Plan& plan, const std::string& key) {
        plan.measure = key;
        std::erase(plan.secondaryMeasures, key);
    });
    onChoice(baseline_, PlanPart::baseline, [](Plan& plan, const std::string& word) {
        plan.baseline = baselineRuleFrom(word).value_or(plan.baseline);
    });
    onChoice(gaps_, PlanPart::gaps, [](Plan& plan, const std::string& word) {
        plan.missingInterior = missingInteriorRuleFrom(word).value_or(plan.missingInterior);
    });
    onChoice(comparator_, PlanPart::comparator,
             [](Plan& plan, const std::string& id) { plan.comparator = id; });
    onChoice(multiplicity_, PlanPart::multiplicity, [](Plan& plan, const std::string& word) {
        plan.multiplicity = multiplicityFrom(word).value_or(plan.multiplicity);
    });
    onChoice(index_, PlanPart::index, [](Plan& plan, const std::string& word) {
        plan.index = word != "off";
        plan.indexOutlierRule = indexOutlierRuleFrom(word).value_or(plan.indexOutlierRule);
    });
    for (NumberBox* box : {windowEnd_, alpha_}) {
        connect(box, &QDoubleSpinBox::valueChanged, this, [this] {
            if (!filling_) {
                settle_.start();
            }
        });
        connect(box, &QDoubleSpinBox::editingFinished, this, &PlanSentence::takeNumbers);
    }
}

void PlanSentence::takeNumbers() {
    settle_.stop();
    if (filling_ || !session_.hasStudy()) {
        return;
    }
    Plan plan = session_.plan();
    plan.windowEndMin = windowEnd_->value();
    edit(PlanPart::windowEnd, plan);
    plan = session_.plan();
    plan.alpha = alpha_->value();
    edit(PlanPart::alpha, plan);
}

void PlanSentence::edit(PlanPart part, const Plan& plan) {
    session_.editPlan(plan, part);
}

void PlanSentence::fillChoices() {
    settle_.stop();
    filling_ = true;
    const Study& study = *session_.study();
    for (WordChoice* box : {measure_, baseline_, gaps_, comparator_, multiplicity_, index_}) {
        box->clear();
    }
    for (const Measure& measure : measureList()) {
        measure_->addItem(inSentence(shown(measure.label)), shown(measure.key));
        measure_->setItemData(measure_->count() - 1, shown(measure.definition), Qt::ToolTipRole);
    }
    baseline_->addItem(tr("fasting mean"), shown(wordFor(BaselineRule::fastingMean)));
    baseline_->addItem(tr("value at time 0"), shown(wordFor(BaselineRule::timeZero)));
    gaps_->addItem(tr("gaps spanned"), shown(wordFor(MissingInteriorRule::span)));
    gaps_->addItem(tr("curves with gaps left out"), shown(wordFor(MissingInteriorRule::exclude)));
    Plan byRole = study.plan;
    byRole.comparator.clear();
    const std::string found = resolvedPlan(study, byRole).comparator;
    comparator_->addItem(
        found.empty() ? tr("(choose a food)") : tr("%1 (by its role)").arg(shown(labelOf(study, found))),
        QString());
    for (const Food& food : study.foods) {
        comparator_->addItem(shown(food.label), shown(food.id));
    }
    multiplicity_->addItem(tr("Holm"), shown(wordFor(Multiplicity::holm)));
    multiplicity_->addItem(tr("Hochberg"), shown(wordFor(Multiplicity::hochberg)));
    multiplicity_->addItem(tr("Benjamini–Hochberg"), shown(wordFor(Multiplicity::benjaminiHochberg)));
    multiplicity_->addItem(tr("nothing"), shown(wordFor(Multiplicity::none)));
    index_->addItem(tr("outliers flagged and kept"), shown(wordFor(IndexOutlierRule::none)));
    index_->addItem(tr("outliers beyond 2 SD left out once"), shown(wordFor(IndexOutlierRule::twoSdOnce)));
    index_->addItem(tr("outliers beyond 2 SD left out until none is left"),
                    shown(wordFor(IndexOutlierRule::twoSdRepeated)));
    index_->addItem(tr("not wanted"), QStringLiteral("off"));
    filling_ = false;
    showPlan();
}

void PlanSentence::fillFurtherMeasures() {
    const Plan& plan = session_.plan();
    QMenu* menu = further_->menu();
    menu->clear();
    for (const Measure& measure : measureList()) {
        if (measure.key == plan.measure) {
            continue;
        }
        const std::string key(measure.key);
        QAction* action = menu->addAction(shown(measure.label));
        action->setCheckable(true);
        const auto& chosen = plan.secondaryMeasures;
        action->setChecked(std::find(chosen.begin(), chosen.end(), key) != chosen.end());
        connect(action, &QAction::toggled, this, [this, key](bool on) {
            Plan changed = session_.plan();
            std::erase(changed.secondaryMeasures, key);
            if (on) {
                changed.secondaryMeasures.push_back(key);
            }
            // The menu is filled anew by the change; that must wait until this action is done.
            QMetaObject::invokeMethod(
                this, [this, changed] { edit(PlanPart::secondary, changed); }, Qt::QueuedConnection);
        });
    }
    const std::size_t count = plan.secondaryMeasures.size();
    if (count == 0) {
        further_->setText(tr("no further measure"));
    } else if (count == 1) {
        const auto at = measureIndex(plan.secondaryMeasures.front());
        further_->setText(at ? inSentence(shown(measureList()[*at].label))
                             : shown(plan.secondaryMeasures.front()));
    } else {
        further_->setText(tr("%1 further measures").arg(count));
    }
    further_->updateGeometry();
}

void PlanSentence::showPlan() {
    if (!session_.hasStudy()) {
        return;
    }
    filling_ = true;
    const Plan& plan = session_.plan();
    select(*measure_, shown(plan.measure));
    select(*baseline_, shown(wordFor(plan.baseline)));
    select(*gaps_, shown(wordFor(plan.missingInterior)));
    select(*comparator_, shown(plan.comparator));
    select(*multiplicity_, shown(wordFor(plan.multiplicity)));
    select(*index_, indexWord(plan));
    for (const auto& [box, value] :
         {std::pair{windowEnd_, plan.windowEndMin}, std::pair{alpha_, plan.alpha}}) {
        // Setting an equal value would rewrite "0," while it is typed; a number that is still being typed
        // waits for its turn in takeNumbers.
        if (box->value() != value && !settle_.isActive()) {
            box->setValue(value);
        }
    }
    fillFurtherMeasures();
    filling_ = false;
    showMessage();
}

void PlanSentence::showMessage() {
    QStringList lines;
    for (const Problem& problem : session_.planErrors()) {
        lines << shown(problem.what) +
                     (problem.remedy.empty() ? QString() : QStringLiteral("; ") + shown(problem.remedy));
    }
    const bool stopped =
        session_.hasStudy() && lines.isEmpty() && !session_.isBusy() && !session_.resultsAreCurrent();
    if (stopped) {
        lines << (session_.runFailure().isEmpty() ? tr("Stopped before the results of this plan were ready.")
                                                  : tr("The run failed: %1").arg(session_.runFailure()));
    }
    if (!lines.isEmpty() && session_.results()) {
        lines << tr("The results below are those of the plan before this change.");
    }
    message_->setText(lines.join(u'\n'));
    QPalette palette = message_->palette();
    palette.setColor(QPalette::WindowText, windowLook(this->palette()).error);
    message_->setPalette(palette);
    message_->setVisible(!lines.isEmpty());
    computeAgain_->setVisible(stopped);
}

void PlanSentence::showMarks() {
    const auto count = static_cast<int>(session_.marks().count);
    marksRow_->setVisible(count > 0);
    marksChip_->setText(count == 1 ? tr("1 value changed") : tr("%1 values changed").arg(count));
    const WindowLook look = windowLook(palette());
    marksChip_->setStyleSheet(
        QStringLiteral("QLabel { background: %1; border-left: 3px solid %2; padding: 2px 8px; }")
            .arg(look.mark.name(), look.markEdge.name()));
}

}  // namespace aftercurve
