#pragma once

#include <QModelIndex>
#include <QObject>
#include <QString>
#include <vector>

#include "core/base/problem.h"
#include "core/edit/edit.h"

class QAction;
class QTableView;

namespace aftercurve {

class Session;
class StudyTableModel;

/// What a person does to a table of the study: type, paste a block, fill down, clear, add and remove rows,
/// copy. Each is one step on the undo stack, all of it or nothing.
class TableEditing : public QObject {
    Q_OBJECT

  public:
    /// `name` is the stem of the actions' object names: "samples" gives samples.paste and so on.
    TableEditing(Session& session, StudyTableModel& model, QTableView& view, const QString& name);

    void copy();
    void paste();
    /// Every row of the block as a new row at the end.
    void pasteRows();
    void fillDown();
    void clearCells();
    void addRow();
    void removeRows();
    /// Selects the next cell, after the current one and from the top again, that contains the text.
    bool findNext(const QString& text);

    const QList<QAction*>& actions() const { return actions_; }

  Q_SIGNALS:
    /// A change was not made, and why.
    void refused(const aftercurve::Problem& problem);
    /// Something to tell that is no failure: "12 cells pasted".
    void told(const QString& words);

  private:
    /// Cells that are selected, by rows of the view.
    QModelIndexList selectedCells() const;
    bool make(const std::vector<Change>& changes, const QString& name);
    /// `row` and `column` of the view are where the block begins; a row past the last one is new.
    std::vector<Change> changesFor(const std::vector<QStringList>& block, int row, int column,
                                   int& commas) const;
    void makePasted(const std::vector<Change>& changes, int commas);
    /// A new row that repeats what the current one says but its measured values.
    void copyRowAnew();
    void showRow(std::size_t studyRow);

    Session& session_;
    StudyTableModel& model_;
    QTableView& view_;
    QList<QAction*> actions_;
};

}  // namespace aftercurve
