#pragma once

#include <QStringList>
#include <QWidget>
#include <vector>

class QTableWidget;

namespace aftercurve {

/// A column of a ListTable. With choices its cells are chosen, else typed.
struct ListColumn {
    QString title;
    int widthEm = 10;
    bool number = false;
    QStringList choices = {};
};

/// A short list in a dialog, one entry a row, with buttons that add and remove rows.
class ListTable : public QWidget {
    Q_OBJECT

  public:
    /// `name` is the stem of the object names: name.table, name.add, name.remove.
    ListTable(const QString& name, const QString& accessibleName, std::vector<ListColumn> columns,
              QWidget* parent);

    /// Texts by row and column; a choice that is not in its list is the first one.
    void setRows(const std::vector<QStringList>& rows);
    /// Without the rows that are empty but for their choices.
    std::vector<QStringList> rows() const;

  private:
    void addRow(const QStringList& texts);

    std::vector<ListColumn> columns_;
    QTableWidget* table_;
};

}  // namespace aftercurve
