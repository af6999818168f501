#pragma once

#include <QAbstractTableModel>
#include <QHash>
#include <memory>
#include <vector>

#include "core/findings/table.h"

namespace aftercurve {

/// A results table (core/findings/table.h) as Qt shows it, with marks on the cells that changed.
class ResultTableModel : public QAbstractTableModel {
    Q_OBJECT

  public:
    enum Role {
        sortRole = Qt::UserRole + 1,  ///< number or text; absent cells have none
        changedRole,                  ///< true where the value changed
        keyRole,                      ///< key of the row
    };

    explicit ResultTableModel(QObject* parent = nullptr);

    /// `changes` as changesBetween() gives them, for this table.
    void setTable(std::shared_ptr<const Table> table, const std::vector<CellChange>& changes);

    const Table* table() const { return table_.get(); }
    /// Position of the column of that key, −1 where there is none.
    int columnOf(std::string_view key) const;
    /// The cell's text by column key; empty where there is no such column.
    QString textAt(int row, std::string_view key) const;

    int rowCount(const QModelIndex& parent = {}) const override;
    int columnCount(const QModelIndex& parent = {}) const override;
    QVariant data(const QModelIndex& index, int role) const override;
    QVariant headerData(int section, Qt::Orientation orientation, int role) const override;

  private:
    const QString* beforeOf(const QModelIndex& index) const;

    std::shared_ptr<const Table> table_;
    QHash<qint64, QString> before_;  ///< row · columns + column → text before
};

}  // namespace aftercurve
