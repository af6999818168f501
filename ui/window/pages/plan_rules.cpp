#include "ui/window/pages/plan_rules.h"

#include <QCheckBox>
#include <QComboBox>
#include <QDoubleSpinBox>
#include <QFormLayout>
#include <QHBoxLayout>
#include <QLabel>
#include <QVBoxLayout>

namespace aftercurve {

namespace {

QComboBox* choice(const char* name, const QString& accessibleName, const QStringList& words,
                  QWidget* parent) {
    auto* box = new QComboBox(parent);
    box->setObjectName(QLatin1String(name));
    box->setAccessibleName(accessibleName);
    box->addItems(words);
    return box;
}

QDoubleSpinBox* number(const char* name, const QString& accessibleName, double most, const QString& unit,
                       QWidget* parent) {
    auto* box = new QDoubleSpinBox(parent);
    box->setObjectName(QLatin1String(name));
    box->setAccessibleName(accessibleName);
    box->setRange(0.0, most);
    box->setDecimals(1);
    box->setSuffix(u' ' + unit);
    box->setKeyboardTracking(false);
    return box;
}

}  // namespace

PlanRules::PlanRules(Session& session, QWidget* parent) : QWidget(parent), session_(session) {
    const int em = fontMetrics().height();
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, em / 2, 0, 0);
    auto* form = new QFormLayout;
    form->setFieldGrowthPolicy(QFormLayout::FieldsStayAtSizeHint);
    form->setHorizontalSpacing(em);
    timeBasis_ =
        choice("rules.timeBasis", tr("Time that counts"),
               {tr("the actual time, where it is given"), tr("the nominal time, where it is given")}, this);
    tolerance_ = number("rules.tolerance", tr("Time tolerance"), 2880.0, tr("min"), this);
    belowLimit_ = choice("rules.belowLimit", tr("Below the limit of quantification"),
                         {tr("LOQ/2"), tr("LOQ"), tr("left out")}, this);
    duplicates_ = number("rules.duplicates", tr("CV of determinations"), 100.0, tr("%"), this);
    duplicates_->setMinimum(0.1);
    wholeBlood_ = new QCheckBox(tr("multiply by 1.11, to plasma (IFCC)"), this);
    wholeBlood_->setObjectName(QStringLiteral("rules.wholeBlood"));
    washoutAsked_ = new QCheckBox(tr("at least"), this);
    washoutAsked_->setObjectName(QStringLiteral("rules.washoutAsked"));
    washout_ = number("rules.washout", tr("Days of washout"), 3650.0, tr("days"), this);
    auto* washoutRow = new QWidget(this);
    auto* row = new QHBoxLayout(washoutRow);
    row->setContentsMargins(0, 0, 0, 0);
    row->addWidget(washoutAsked_);
    row->addWidget(washout_);
    form->addRow(tr("Where a draw has an actual and a nominal time"), timeBasis_);
    form->addRow(tr("Report a draw that is off its nominal time by more than"), tolerance_);
    form->addRow(tr("A value below the limit of quantification counts as"), belowLimit_);
    form->addRow(tr("Report determinations of one draw whose CV passes"), duplicates_);
    form->addRow(tr("Glucose in whole blood"), wholeBlood_);
    form->addRow(tr("Report a washout between two visits that is not"), washoutRow);
    column->addLayout(form);
    auto* note =
        new QLabel(tr("These rules are part of the plan, as the sentence above is. What they do to a value "
                      "is noted at its curve."),
                   this);
    note->setWordWrap(true);
    column->addWidget(note);
    column->addStretch(1);
    for (QComboBox* box : {timeBasis_, belowLimit_}) {
        connect(box, &QComboBox::currentIndexChanged, this, &PlanRules::readForm);
    }
    for (QDoubleSpinBox* box : {tolerance_, duplicates_, washout_}) {
        connect(box, &QDoubleSpinBox::valueChanged, this, &PlanRules::readForm);
    }
    for (QCheckBox* box : {wholeBlood_, washoutAsked_}) {
        connect(box, &QCheckBox::toggled, this, &PlanRules::readForm);
    }
    connect(&session_, &Session::planChanged, this, &PlanRules::showPlan);
}

void PlanRules::showPlan() {
    const Plan& plan = session_.plan();
    filling_ = true;
    timeBasis_->setCurrentIndex(plan.timeBasis == TimeBasis::actual ? 0 : 1);
    tolerance_->setValue(plan.timeToleranceMin);
    belowLimit_->setCurrentIndex(static_cast<int>(plan.belowLimit));
    duplicates_->setValue(plan.duplicateCvLimitPercent);
    wholeBlood_->setChecked(plan.wholeBloodToPlasma);
    washoutAsked_->setChecked(plan.washoutDays.has_value());
    washout_->setEnabled(plan.washoutDays.has_value());
    if (plan.washoutDays) {
        washout_->setValue(*plan.washoutDays);
    }
    filling_ = false;
}

void PlanRules::readForm() {
    if (filling_ || !session_.hasStudy()) {
        return;
    }
    Plan plan = session_.plan();
    plan.timeBasis = timeBasis_->currentIndex() == 0 ? TimeBasis::actual : TimeBasis::nominal;
    plan.timeToleranceMin = tolerance_->value();
    plan.belowLimit = static_cast<BelowLimitRule>(belowLimit_->currentIndex());
    plan.duplicateCvLimitPercent = duplicates_->value();
    plan.wholeBloodToPlasma = wholeBlood_->isChecked();
    plan.washoutDays = washoutAsked_->isChecked() ? std::optional(washout_->value()) : std::nullopt;
    session_.editPlan(plan, PlanPart::assay);
}

}  // namespace aftercurve
