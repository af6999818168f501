#include "ui/window/pages/parts_form.h"

#include <QComboBox>
#include <QHBoxLayout>
#include <QHeaderView>
#include <QLabel>
#include <QPushButton>
#include <QTableWidget>
#include <QVBoxLayout>
#include <utility>

#include "core/base/number_text.h"
#include "ui/models/text.h"
#include "ui/window/edit/edit_bar.h"
#include "ui/window/pages/page.h"
#include "ui/window/result_view.h"

namespace aftercurve {

namespace {

enum PartColumn { label, carbohydrate, indexValue, scale, source, columnCount };

std::optional<double> numberIn(const QTableWidgetItem* item) {
    return item == nullptr ? std::nullopt : numberFrom(item->text());
}

QString textIn(const QTableWidgetItem* item) {
    return item == nullptr ? QString() : item->text().simplified();
}

}  // namespace

PartsForm::PartsForm(Session& session, QWidget* parent)
    : QWidget(parent),
      session_(session),
      foods_(new Chooser(tr("Parts &of"), QStringLiteral("parts.food"), this)),
      bar_(new EditBar(session, QStringLiteral("parts"), this)),
      table_(new QTableWidget(0, columnCount, this)),
      add_(new QPushButton(tr("Add a part"), this)),
      remove_(new QPushButton(tr("Remove the part"), this)) {
    const int em = fontMetrics().height();
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, em / 2, 0, 0);
    auto* words = new QLabel(tr("For a mixed meal: what each part brings in available carbohydrate, and its "
                                "own index from elsewhere. The index that the parts predict is then set "
                                "beside the one that was observed."),
                             this);
    words->setWordWrap(true);
    column->addWidget(words);
    column->addWidget(bar_);
    auto* row = new QHBoxLayout;
    row->addWidget(foods_);
    row->addStretch(1);
    row->addWidget(add_);
    row->addWidget(remove_);
    column->addLayout(row);
    column->addWidget(table_, 1);
    table_->setObjectName(QStringLiteral("parts.table"));
    table_->setAccessibleName(tr("Parts of the meal"));
    table_->setHorizontalHeaderLabels(
        {tr("Part"), tr("Available carbohydrate (g)"), tr("Index"), tr("On the scale of"), tr("Source")});
    setTableManners(*table_);
    table_->setEditTriggers(QAbstractItemView::DoubleClicked | QAbstractItemView::EditKeyPressed |
                            QAbstractItemView::AnyKeyPressed);
    table_->horizontalHeader()->setStretchLastSection(true);
    for (const int text : {label, scale, source}) {
        table_->horizontalHeaderItem(text)->setTextAlignment(Qt::AlignLeft | Qt::AlignVCenter);
    }
    for (const int numbers : {carbohydrate, indexValue}) {
        table_->horizontalHeaderItem(numbers)->setTextAlignment(Qt::AlignRight | Qt::AlignVCenter);
    }
    table_->setColumnWidth(label, em * 14);
    table_->setColumnWidth(carbohydrate, em * 12);
    table_->setColumnWidth(scale, em * 9);
    add_->setObjectName(QStringLiteral("parts.add"));
    add_->setAccessibleName(add_->text());
    remove_->setObjectName(QStringLiteral("parts.remove"));
    remove_->setAccessibleName(remove_->text());
    connect(foods_, &Chooser::chosen, this, &PartsForm::showFood);
    connect(table_, &QTableWidget::cellChanged, this, &PartsForm::readTable);
    connect(add_, &QPushButton::clicked, this, [this] {
        filling_ = true;
        addRow({});
        filling_ = false;
        table_->setCurrentCell(table_->rowCount() - 1, label);
        table_->editItem(table_->item(table_->rowCount() - 1, label));
    });
    connect(remove_, &QPushButton::clicked, this, [this] {
        if (table_->currentRow() >= 0) {
            table_->removeRow(table_->currentRow());
            readTable();
        }
    });
    connect(&session_, &Session::studyOpened, this, &PartsForm::showStudy);
    connect(&session_, &Session::studyEdited, this, &PartsForm::showStudy);
}

std::size_t PartsForm::food() const {
    return findFood(*session_.study(), foods_->value()).value_or(0);
}

void PartsForm::showStudy() {
    const Study& study = *session_.study();
    const std::string kept = foods_->value();
    std::string first;
    {
        const QSignalBlocker quiet(&foods_->box());
        foods_->clear();
        for (const Food& one : study.foods) {
            foods_->add(shown(one.label), one.id);
            first = first.empty() && !one.parts.empty() ? one.id : first;
        }
        const std::string chosen = findFood(study, kept) ? kept : first;
        foods_->box().setCurrentIndex(std::max(0, foods_->box().findData(shown(chosen))));
    }
    const bool editable = session_.readOnlyBecause().isEmpty();
    add_->setEnabled(editable && !study.foods.empty());
    remove_->setEnabled(editable);
    showFood();
}

void PartsForm::addRow(const MealPart& part) {
    const int row = table_->rowCount();
    table_->insertRow(row);
    table_->setItem(row, label, new QTableWidgetItem(shown(part.label)));
    const bool fresh = part.label.empty();
    for (const auto& [column, value] :
         {std::pair{carbohydrate, part.carbohydrateG}, std::pair{indexValue, part.index}}) {
        auto* number = new QTableWidgetItem(fresh ? QString() : shown(plainNumber(value)));
        number->setTextAlignment(Qt::AlignRight | Qt::AlignVCenter);
        table_->setItem(row, column, number);
    }
    auto* scales = new QComboBox(table_);
    scales->addItem(tr("glucose = 100"), shown(wordFor(IndexScale::glucose)));
    scales->addItem(tr("white bread = 100"), shown(wordFor(IndexScale::whiteBread)));
    scales->setCurrentIndex(part.scale == IndexScale::glucose ? 0 : 1);
    scales->setAccessibleName(tr("Scale of the index"));
    table_->setCellWidget(row, scale, scales);
    table_->setItem(row, source, new QTableWidgetItem(shown(part.source)));
    connect(scales, &QComboBox::currentIndexChanged, this, &PartsForm::readTable);
}

void PartsForm::showFood() {
    filling_ = true;
    table_->setRowCount(0);
    if (!session_.study()->foods.empty()) {
        for (const MealPart& part : session_.study()->foods[food()].parts) {
            addRow(part);
        }
    }
    filling_ = false;
}

void PartsForm::readTable() {
    if (filling_ || !session_.hasStudy() || session_.study()->foods.empty()) {
        return;
    }
    SetParts set{food(), {}};
    for (int row = 0; row < table_->rowCount(); ++row) {
        const auto grams = numberIn(table_->item(row, carbohydrate));
        const auto index = numberIn(table_->item(row, indexValue));
        const QString name = textIn(table_->item(row, label));
        if (!grams || !index || name.isEmpty()) {
            bar_->tell(tr("Row %1 is not kept yet: a part needs a name, its carbohydrate and its index.")
                           .arg(row + 1));
            return;
        }
        const auto* scales = static_cast<QComboBox*>(table_->cellWidget(row, scale));
        set.parts.push_back(
            {plain(name), *grams, *index,
             indexScaleFrom(plain(scales->currentData().toString())).value_or(IndexScale::glucose),
             plain(textIn(table_->item(row, source)))});
    }
    if (set.parts == session_.study()->foods[set.food].parts) {
        return;
    }
    if (const Result<Done> done = session_.change({set}, tr("change of a meal's parts")); !done) {
        bar_->refuse(done.problem());
        showFood();
    }
}

}  // namespace aftercurve
