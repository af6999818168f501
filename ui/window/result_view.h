#pragma once

#include <QSortFilterProxyModel>
#include <QTableView>
#include <memory>

#include "ui/models/result_table_model.h"
#include "ui/window/results.h"

namespace aftercurve {

class Session;

/// The manners that every table in the window shares.
void setTableManners(QTableView& view);
/// Columns as wide as what is in sight, and a little air.
void fitColumns(QTableView& view);

/// A results table by key: sorted by a click on a header, filtered by one column, changed cells marked.
class ResultView : public QTableView {
    Q_OBJECT

  public:
    ResultView(QString tableKey, QWidget* parent = nullptr);

    const QString& tableKey() const { return tableKey_; }
    void showResults(const Session& session);
    /// Only rows whose key begins with `prefix` ("glucose/peak_rise/"); empty: all.
    void setRowFilter(const std::string& prefix);
    /// Columns that say the same in every row of a filtered view.
    void setHiddenColumns(std::vector<std::string> keys) { hidden_ = std::move(keys); }
    bool isEmpty() const { return order_->rowCount() == 0; }

    ResultTableModel& source() { return *table_; }
    /// Null before the first results.
    const Table* table() const { return table_->table(); }
    /// Row in the table (not in the view), −1 where none is current.
    int currentTableRow() const;
    /// Its place in the view; not valid where the view does not show that row.
    QModelIndex selectTableRow(int row);

  Q_SIGNALS:
    void rowChosen(int tableRow);
    /// A row that is about curves was double-clicked, or Return pressed on it.
    void curvesWanted(const aftercurve::RowSubject& about);

  protected:
    void currentChanged(const QModelIndex& current, const QModelIndex& previous) override;

  private:
    QString tableKey_;
    std::vector<std::string> hidden_;
    ResultTableModel* table_;
    QSortFilterProxyModel* order_;
};

}  // namespace aftercurve
