#pragma once

#include "core/files/ledger.h"
#include "ui/models/samples_model.h"
#include "ui/window/edit/editable_view.h"
#include "ui/window/pages/page.h"

class QCheckBox;
class QMenu;

namespace aftercurve {

/// The draws as they stand in the files, to be looked at, corrected and excluded.
class SamplesPage : public Page {
    Q_OBJECT

  public:
    explicit SamplesPage(Session& session, QWidget* parent = nullptr);

    /// Selects the cell of a problem and brings it into sight; false where the problem concerns no draw.
    bool goTo(const Problem& problem);

  Q_SIGNALS:
    void historyWanted(const aftercurve::LedgerPlace& place);

  private:
    void fillMenu(QMenu& menu, const QModelIndex& index);

    SamplesModel* model_;
    EditableView* table_;
    QCheckBox* allColumns_;
};

}  // namespace aftercurve
