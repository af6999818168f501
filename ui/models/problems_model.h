#pragma once

#include <QAbstractTableModel>
#include <QIcon>
#include <vector>

#include "core/base/problem.h"

namespace aftercurve {

/// Problems as a table: severity (sign and word), place, what it concerns, what, what to do.
class ProblemsModel : public QAbstractTableModel {
    Q_OBJECT

  public:
    enum Column { severityColumn, placeColumn, concernsColumn, whatColumn, remedyColumn, columns };
    enum Role { severityRole = Qt::UserRole + 1, acceptedRole };

    explicit ProblemsModel(QObject* parent = nullptr);

    void setProblems(std::vector<Problem> problems);
    const std::vector<Problem>& problems() const { return problems_; }
    const Problem& problemAt(int row) const { return problems_[static_cast<std::size_t>(row)]; }

    int rowCount(const QModelIndex& parent = {}) const override;
    int columnCount(const QModelIndex& parent = {}) const override;
    QVariant data(const QModelIndex& index, int role) const override;
    QVariant headerData(int section, Qt::Orientation orientation, int role) const override;

  private:
    std::vector<Problem> problems_;
};

/// Sign of a severity: a shape of its own for each, besides its colour.
QIcon severityIcon(Severity severity);
/// "error", "warning", "note" in the reader's language.
QString severityName(Severity severity);
/// Whether a person may let the problem stand: a warning of a check that is not accepted yet.
bool canBeAccepted(const Problem& problem);
/// "subject 07, Barley wafer, visit 2, glucose, 30 min".
QString concerns(const Problem& problem);

}  // namespace aftercurve
