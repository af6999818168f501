#pragma once

#include <optional>

#include "core/files/ledger.h"
#include "ui/models/history_model.h"
#include "ui/window/pages/page.h"

class QLabel;
class QPushButton;
class QSortFilterProxyModel;
class QTableView;

namespace aftercurve {

/// How the study came to be what it is: the ledger, of the whole study or of one cell.
class HistoryPage : public Page {
    Q_OBJECT

  public:
    explicit HistoryPage(Session& session, QWidget* parent = nullptr);

    /// Shows what concerns one cell only.
    void showHistoryOf(const LedgerPlace& place);

  private:
    void readLedgerFile();
    void showEntries();

    HistoryModel* model_;
    QSortFilterProxyModel* filter_;
    QTableView* view_;
    QLabel* about_;
    QPushButton* all_;
    LedgerCheck ledger_;
    QString failure_;
    std::optional<LedgerPlace> place_;
};

}  // namespace aftercurve
