#include "ui/window/edit/list_table.h"

#include <QComboBox>
#include <QHBoxLayout>
#include <QHeaderView>
#include <QPushButton>
#include <QTableWidget>
#include <QVBoxLayout>

#include "ui/window/result_view.h"

namespace aftercurve {

ListTable::ListTable(const QString& name, const QString& accessibleName, std::vector<ListColumn> columns,
                     QWidget* parent)
    : QWidget(parent),
      columns_(std::move(columns)),
      table_(new QTableWidget(0, static_cast<int>(columns_.size()), this)) {
    const int em = fontMetrics().height();
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 0);
    table_->setObjectName(name + QStringLiteral(".table"));
    table_->setAccessibleName(accessibleName);
    setTableManners(*table_);
    table_->setEditTriggers(QAbstractItemView::DoubleClicked | QAbstractItemView::EditKeyPressed |
                            QAbstractItemView::AnyKeyPressed);
    table_->setMinimumHeight(em * 8);
    for (int i = 0; i < table_->columnCount(); ++i) {
        const ListColumn& one = columns_[static_cast<std::size_t>(i)];
        auto* header = new QTableWidgetItem(one.title);
        header->setTextAlignment((one.number ? Qt::AlignRight : Qt::AlignLeft) | Qt::AlignBottom);
        table_->setHorizontalHeaderItem(i, header);
        table_->setColumnWidth(i, em * one.widthEm);
    }
    table_->horizontalHeader()->setStretchLastSection(!columns_.back().number);
    column->addWidget(table_, 1);
    auto* row = new QHBoxLayout;
    auto* add = new QPushButton(tr("Add a row"), this);
    add->setObjectName(name + QStringLiteral(".add"));
    auto* remove = new QPushButton(tr("Remove the row"), this);
    remove->setObjectName(name + QStringLiteral(".remove"));
    for (QPushButton* button : {add, remove}) {
        button->setAccessibleName(tr("%1: %2").arg(accessibleName, button->text()));
        button->setAutoDefault(false);
        row->addWidget(button);
    }
    row->addStretch(1);
    column->addLayout(row);
    connect(add, &QPushButton::clicked, this, [this] {
        addRow({});
        table_->setCurrentCell(table_->rowCount() - 1, 0);
        table_->setFocus();
    });
    connect(remove, &QPushButton::clicked, this, [this] { table_->removeRow(table_->currentRow()); });
}

void ListTable::addRow(const QStringList& texts) {
    const int row = table_->rowCount();
    table_->insertRow(row);
    for (int i = 0; i < table_->columnCount(); ++i) {
        const ListColumn& one = columns_[static_cast<std::size_t>(i)];
        const QString text = texts.value(i);
        if (one.choices.isEmpty()) {
            auto* cell = new QTableWidgetItem(text);
            cell->setTextAlignment((one.number ? Qt::AlignRight : Qt::AlignLeft) | Qt::AlignVCenter);
            table_->setItem(row, i, cell);
            continue;
        }
        auto* box = new QComboBox(table_);
        box->setAccessibleName(one.title);
        box->addItems(one.choices);
        box->setCurrentIndex(std::max(0, static_cast<int>(one.choices.indexOf(text))));
        table_->setCellWidget(row, i, box);
    }
}

void ListTable::setRows(const std::vector<QStringList>& rows) {
    table_->setRowCount(0);
    for (const QStringList& texts : rows) {
        addRow(texts);
    }
}

std::vector<QStringList> ListTable::rows() const {
    std::vector<QStringList> rows;
    for (int row = 0; row < table_->rowCount(); ++row) {
        QStringList texts;
        bool isEmpty = true;
        for (int i = 0; i < table_->columnCount(); ++i) {
            if (const auto* box = qobject_cast<QComboBox*>(table_->cellWidget(row, i))) {
                texts << box->currentText();
            } else {
                texts << table_->item(row, i)->text().simplified();
                isEmpty = isEmpty && texts.back().isEmpty();
            }
        }
        if (!isEmpty) {
            rows.push_back(texts);
        }
    }
    return rows;
}

}  // namespace aftercurve
