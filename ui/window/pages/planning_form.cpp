#include "ui/window/pages/planning_form.h"

#include <QScrollArea>
#include <cmath>

namespace aftercurve {

PlanningForm::PlanningForm(QWidget* parent) : QWidget(parent), rows_(new QFormLayout(this)) {
    rows_->setContentsMargins(0, 0, fontMetrics().height() / 2, 0);
    rows_->setFieldGrowthPolicy(QFormLayout::AllNonFixedFieldsGrow);
    rows_->setRowWrapPolicy(QFormLayout::DontWrapRows);
}

QLineEdit* PlanningForm::addField(const QString& label, const char* name, const QString& text,
                                  const QString& hint) {
    auto* field = new QLineEdit(text, this);
    field->setPlaceholderText(hint);
    field->setMaxLength(2000);
    addRow(label, field, name);
    connect(field, &QLineEdit::textChanged, this, &PlanningForm::edited);
    return field;
}

QScrollArea* PlanningForm::inScrollArea(const QString& accessibleName, QWidget* parent) {
    auto* scroll = new QScrollArea(parent);
    scroll->setWidget(this);
    scroll->setWidgetResizable(true);
    scroll->setFrameShape(QFrame::NoFrame);
    scroll->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    scroll->setMinimumWidth(fontMetrics().height() * 20);
    scroll->setAccessibleName(accessibleName);
    return scroll;
}

void PlanningForm::addRow(const QString& label, QWidget* field, const char* name) {
    field->setObjectName(QLatin1String(name));
    field->setAccessibleName(label);
    auto* words = new QLabel(label, this);
    words->setBuddy(field);
    rows_->addRow(words, field);
}

void PlanningForm::addWide(QWidget* widget) {
    rows_->addRow(widget);
}

void PlanningForm::setRowShown(QWidget* field, bool shown) {
    rows_->setRowVisible(field, shown);
}

void FieldReading::refuse(const QLineEdit& field) {
    if (fault_.isEmpty()) {
        fault_ = QLineEdit::tr("%1: “%2” is not a number").arg(field.accessibleName(), field.text());
    }
}

double FieldReading::number(const QLineEdit& field) {
    bool ok = false;
    const double value = field.text().trimmed().toDouble(&ok);
    if (!ok || !std::isfinite(value)) {
        refuse(field);
        return 0.0;
    }
    return value;
}

std::optional<double> FieldReading::maybe(const QLineEdit& field) {
    if (field.text().trimmed().isEmpty()) {
        return std::nullopt;
    }
    return number(field);
}

std::size_t FieldReading::whole(const QLineEdit& field) {
    bool ok = false;
    const qulonglong value = field.text().trimmed().toULongLong(&ok);
    if (!ok) {
        refuse(field);
    }
    return ok ? static_cast<std::size_t>(value) : 0;
}

}  // namespace aftercurve
