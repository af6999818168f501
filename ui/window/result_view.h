#pragma once

#include <QTableView>
#include <QSortFilterProxyModel>
#include <memory>

#include "ui/models/result_table_model.h"
#include "ui/window/results.h"

namespace aftercurve {

class Session;

/// The manners that every table in the window shares.
void setTableManners(QTableView& view);

/// A results table by key: sorted by a click on a header, filtered by one column, changed cells marked.
class ResultView : public QTableView {
    Q_OBJECT

  public:
    ResultView(QString tableKey, QWidget* parent = nullptr);

    const QString& tableKey() const { return tableKey_; }
    void showResults(const Session& session);
    /// Only rows whose cell in the column of that key reads exactly `text`; empty: all.
    void setRowFilter(const QString& columnKey, const QString& text);

    ResultTableModel& model() { return *table_; }
    /// Row in the table (not in the view), −1 where none is current.
    int currentTableRow() const;
    void selectTableRow(int row);

  Q_SIGNALS:
    void rowChosen(int tableRow);

  protected:
    void currentChanged(const QModelIndex& current, const QModelIndex& previous) override;

  private:
    void applyFilter();

    QString tableKey_;
    QString filterColumn_;
    QString filterText_;
    ResultTableModel* table_;
    QSortFilterProxyModel* order_;
};

}  // namespace aftercurve
