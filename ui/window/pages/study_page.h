#pragma once

#include <vector>

#include "core/files/ledger.h"
#include "ui/window/edit/editable_view.h"
#include "ui/window/pages/page.h"

class QLabel;
class QLineEdit;
class QTabWidget;

namespace aftercurve {

/// What the study is about: title, foods, subjects, visits, analytes, each in a table that can be edited, and
/// the rules of the plan that concern the assay and the times.
class StudyPage : public Page {
    Q_OBJECT

  public:
    explicit StudyPage(Session& session, QWidget* parent = nullptr);

    /// Selects the row that a problem of the subjects or visits file stands in; false where it is neither.
    bool goTo(const Problem& problem);

  Q_SIGNALS:
    void historyWanted(const aftercurve::LedgerPlace& place);

  private:
    void showStudy();
    EditableView* addTable(StudyTable table, const QString& title);

    QLineEdit* title_;
    QLabel* files_;
    QTabWidget* tabs_;
    std::vector<EditableView*> tables_;
};

}  // namespace aftercurve
