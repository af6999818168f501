#pragma once

#include <vector>

#include "core/files/ledger.h"
#include "ui/window/edit/editable_view.h"
#include "ui/window/pages/page.h"

class QTabWidget;

namespace aftercurve {

class SettingControls;

/// One table of a data page, and what is said where the study has no row of it.
struct DataTable {
    StudyTable table = StudyTable::assays;
    QString title;  ///< of its tab
    QString emptyTitle;
    QString emptyText;
    QString example;  ///< how a row looks in its file
    /// Settings beside the filter; null: none.
    void (*addSettings)(SettingControls& settings) = nullptr;
};

/// What was measured or written down, as it stands in the files: the tables that the other tabs of the step
/// are computed from, to be looked at, entered, corrected and excluded.
class DataPage : public Page {
    Q_OBJECT

  public:
    /// `name` is the stem of the tab bar's object name; the tables' stems are "data." and their name.
    DataPage(Session& session, const QString& name, const std::vector<DataTable>& tables, QWidget* parent);

    /// Selects the row of a problem and brings it into sight; false where the problem concerns no row here.
    bool goTo(const Problem& problem);

  Q_SIGNALS:
    void historyWanted(const aftercurve::LedgerPlace& place);

  private:
    void addTable(const DataTable& about);
    void fillMenu(QMenu& menu, StudyTable table, std::size_t row);

    QTabWidget* tabs_;
    std::vector<EditableView*> views_;
};

/// The tables of In vitro, and those of Tolerance, in the order in which they are filled.
std::vector<DataTable> laboratoryTables();
std::vector<DataTable> diaryTables();

}  // namespace aftercurve
