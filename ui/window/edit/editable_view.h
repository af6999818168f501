#pragma once

#include <QMenu>
#include <QTimer>
#include <QWidget>
#include <functional>

#include "ui/models/study_table_model.h"
#include "ui/window/session.h"

class QLabel;
class QLineEdit;
class QTableView;

namespace aftercurve {

class EditBar;
class EmptyNotice;
class TableEditing;

/// A table of the study with what belongs to editing it: a filter, a search, who and why, the table, and a
/// menu at the right button. Shared by the samples page and the study page.
class EditableView : public QWidget {
    Q_OBJECT

  public:
    /// Takes over `model`. `name` is the stem of the object names: samples.view, samples.filter, ...
    EditableView(Session& session, StudyTableModel* model, const QString& name, QWidget* parent);

    QTableView& view() { return *view_; }
    StudyTableModel& model() { return *model_; }
    EditBar& bar() { return *bar_; }
    void showStudy();
    void clearFilter();
    /// What stands in place of a table without rows: what is missing, which file would hold it, how a row
    /// looks in it; and buttons that add the first.
    void setEmptyWords(const QString& title, const QString& text, const QString& code);
    /// Adds a widget at the end of the filter's row.
    void addControl(QWidget* control);
    /// Puts a widget above everything else; it stays where the table is empty.
    void addAbove(QWidget* widget);
    /// Called before the menu at the right button opens, to add to it.
    void setMenuFiller(std::function<void(QMenu&, const QModelIndex&)> filler) {
        filler_ = std::move(filler);
    }

  Q_SIGNALS:
    /// The reader wants to see how a cell came to be.
    void historyWanted(std::size_t studyRow, std::size_t studyColumn);

  private:
    void showCount();
    void showEmpty();
    void openMenu(const QPoint& at);

    Session& session_;
    StudyTableModel* model_;
    QLineEdit* filter_;
    QLineEdit* find_;
    QLabel* count_;
    QTableView* view_;
    EmptyNotice* empty_ = nullptr;
    EditBar* bar_;
    TableEditing* editing_;
    QWidget* controls_;
    QTimer settle_;
    std::function<void(QMenu&, const QModelIndex&)> filler_;
};

}  // namespace aftercurve
