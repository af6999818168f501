#include <QComboBox>
#include <QHeaderView>
#include <QLabel>
#include <QLocale>
#include <QTableWidget>
#include <QVBoxLayout>

#include "core/base/number_text.h"
#include "ui/models/look.h"
#include "ui/models/text.h"
#include "ui/takein/mapping_forms.h"

namespace aftercurve {

namespace {

enum FoodColumn { foodId, foodLabel, foodRole, foodCarbohydrate, foodPortion, foodTexts, foodColumns };
enum AnalyteColumn { analyteId, analyteFileUnit, analyteUnit, analyteSpecimen, analyteColumns };

QString numberText(const std::optional<double>& value) {
    return value ? shown(plainNumber(*value)) : QString();
}

std::optional<double> numberIn(const QString& text) {
    bool isNumber = false;
    const double value = QLocale::c().toDouble(text.trimmed().replace(u',', u'.'), &isNumber);
    return isNumber && value >= 0.0 ? std::optional(value) : std::nullopt;
}

QTableWidgetItem* item(const std::string& text) {
    return new QTableWidgetItem(shown(text));
}

}  // namespace

ListForm::ListForm(TakeInSession& session, What what, QWidget* parent)
    : QWidget(parent),
      session_(session),
      what_(what),
      list_(new QTableWidget(this)),
      refusal_(new QLabel(this)) {
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, fontMetrics().height() / 2, 0, 0);
    const bool foods = what == What::foods;
    list_->setObjectName(foods ? QStringLiteral("takeIn.foods") : QStringLiteral("takeIn.analytes"));
    list_->setAccessibleName(foods ? tr("Foods of the study") : tr("Analytes of the study"));
    list_->setColumnCount(foods ? static_cast<int>(foodColumns) : static_cast<int>(analyteColumns));
    list_->setHorizontalHeaderLabels(
        foods ? QStringList{tr("Code"), tr("Name"), tr("Role"), tr("Available\ncarbohydrate, g"),
                            tr("Portion, g"), tr("Written in the files as")}
              : QStringList{tr("Analyte"), tr("Unit in the files,\nwhere not said"), tr("Unit of the study"),
                            tr("Specimen")});
    list_->verticalHeader()->hide();
    list_->horizontalHeader()->setStretchLastSection(true);
    column->addWidget(list_, 1);
    refusal_->setWordWrap(true);
    refusal_->setTextFormat(Qt::PlainText);
    refusal_->setText(
        foods ? tr("Spellings are separated by a vertical bar. The reference food is the one that "
                   "the index refers to; the control is what the others are compared with.")
              : tr("The specimen is what was drawn: capillary plasma, venous serum, capillary whole "
                   "blood, ..."));
    column->addWidget(refusal_);
    connect(list_, &QTableWidget::itemChanged, this, &ListForm::read);
    connect(&session_, &TakeInSession::mappingChanged, this, &ListForm::fill);
}

void ListForm::fill() {
    filling_ = true;
    const Mapping& mapping = session_.mapping();
    if (what_ == What::foods) {
        list_->setRowCount(static_cast<int>(mapping.foods.size()));
        for (int row = 0; row < list_->rowCount(); ++row) {
            const FoodMapping& food = mapping.foods[static_cast<std::size_t>(row)];
            std::string texts;
            for (const std::string& text : food.texts) {
                texts += (texts.empty() ? "" : " | ") + text;
            }
            list_->setItem(row, foodId, item(food.id));
            list_->setItem(row, foodLabel, item(food.label));
            list_->setItem(row, foodCarbohydrate,
                           new QTableWidgetItem(numberText(food.availableCarbohydrateG)));
            list_->setItem(row, foodPortion, new QTableWidgetItem(numberText(food.portionG)));
            list_->setItem(row, foodTexts, item(texts));
            auto* role = new QComboBox(list_);
            role->setObjectName(QStringLiteral("takeIn.foodRole%1").arg(row));
            role->setAccessibleName(tr("Role of %1").arg(shown(food.label)));
            role->addItems({tr("not said yet"), tr("reference"), tr("control"), tr("test")});
            role->setCurrentIndex(food.role ? static_cast<int>(*food.role) + 1 : 0);
            connect(role, &QComboBox::activated, this, &ListForm::read);
            list_->setCellWidget(row, foodRole, role);
        }
    } else {
        list_->setRowCount(static_cast<int>(mapping.analytes.size()));
        for (int row = 0; row < list_->rowCount(); ++row) {
            const AnalyteMapping& analyte = mapping.analytes[static_cast<std::size_t>(row)];
            list_->setItem(row, analyteId, item(analyte.id));
            list_->setItem(row, analyteFileUnit, item(analyte.fileUnit));
            list_->setItem(row, analyteUnit, item(analyte.unit));
            list_->setItem(row, analyteSpecimen, item(analyte.specimen));
        }
    }
    list_->resizeColumnsToContents();
    filling_ = false;
}

void ListForm::read() {
    if (filling_) {
        return;
    }
    Mapping mapping = session_.mapping();
    const auto text = [this](int row, int column) {
        return plain(list_->item(row, column)->text().trimmed());
    };
    for (int row = 0; row < list_->rowCount(); ++row) {
        const auto at = static_cast<std::size_t>(row);
        if (what_ == What::foods && at < mapping.foods.size()) {
            FoodMapping& food = mapping.foods[at];
            const std::string id = text(row, foodId);
            if (id != food.id && !id.empty()) {
                // What the files say stays known under the new code.
                food.texts.push_back(food.id);
                food.id = id;
            }
            food.label = text(row, foodLabel);
            food.availableCarbohydrateG = numberIn(list_->item(row, foodCarbohydrate)->text());
            food.portionG = numberIn(list_->item(row, foodPortion)->text());
            const int role = static_cast<QComboBox*>(list_->cellWidget(row, foodRole))->currentIndex();
            food.role = role == 0 ? std::nullopt : std::optional(static_cast<FoodRole>(role - 1));
            if (id == text(row, foodId) && food.id == session_.mapping().foods[at].id) {
                food.texts.clear();
                for (const QString& one :
                     list_->item(row, foodTexts)->text().split(u'|', Qt::SkipEmptyParts)) {
                    food.texts.push_back(plain(one.trimmed()));
                }
            }
        } else if (what_ == What::analytes && at < mapping.analytes.size()) {
            AnalyteMapping& analyte = mapping.analytes[at];
            analyte.fileUnit = text(row, analyteFileUnit);
            analyte.unit = text(row, analyteUnit);
            analyte.specimen = text(row, analyteSpecimen);
        }
    }
    // Not from within the editing of a cell, which a refill would end.
    QMetaObject::invokeMethod(
        this, [this, mapping] { session_.setMapping(mapping); }, Qt::QueuedConnection);
}

}  // namespace aftercurve
