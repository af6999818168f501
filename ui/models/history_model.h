#pragma once

#include <QAbstractTableModel>
#include <vector>

#include "core/edit/save_study.h"
#include "core/files/ledger.h"

namespace aftercurve {

/// What was changed, newest first: the entries of the ledger, and above them the changes that are not saved
/// yet.
class HistoryModel : public QAbstractTableModel {
    Q_OBJECT

  public:
    enum Column { numberColumn, onColumn, byColumn, whereColumn, fromColumn, toColumn, whyColumn, columns };

    explicit HistoryModel(QObject* parent = nullptr);

    void setEntries(std::vector<LedgerEntry> saved, std::vector<MadeChange> unsaved);

    int rowCount(const QModelIndex& parent = {}) const override;
    int columnCount(const QModelIndex& parent = {}) const override;
    QVariant data(const QModelIndex& index, int role) const override;
    QVariant headerData(int section, Qt::Orientation orientation, int role) const override;

  private:
    QString unsavedText(const MadeChange& change, int column) const;
    QString savedText(const LedgerEntry& entry, int column) const;

    std::vector<LedgerEntry> saved_;
    std::vector<MadeChange> unsaved_;
};

/// "subject 03, bread, visit 1, 30 min, glucose".
QString placeOf(const LedgerPlace& place);

}  // namespace aftercurve
