#pragma once

#include <QAbstractTableModel>
#include <QStringList>
#include <optional>
#include <string>
#include <vector>

#include "core/intake/mapping.h"
#include "core/intake/preview.h"
#include "core/intake/table_binding.h"

namespace aftercurve {

/// The first rows of a laboratory's table as they stand there, each column headed by what it holds. Rows
/// above the data are pale, columns that are not used too.
class FilePreviewModel : public QAbstractTableModel {
    Q_OBJECT

  public:
    using QAbstractTableModel::QAbstractTableModel;

    void show(const TablePreview& preview, const TableHead& head, const Binding& binding,
              const TableMapping& how);
    void clear();
    /// The text above a column in the file.
    QString headerOf(int column) const;

    int rowCount(const QModelIndex& parent = {}) const override;
    int columnCount(const QModelIndex& parent = {}) const override;
    QVariant data(const QModelIndex& index, int role) const override;
    QVariant headerData(int section, Qt::Orientation orientation, int role) const override;

  private:
    TablePreview preview_;
    TableHead head_;
    TableMapping how_;
    QStringList roles_;  ///< of each column; empty where it is not used
};

/// A list of texts under headings: the draws that come of a mapping.
class TextListModel : public QAbstractTableModel {
    Q_OBJECT

  public:
    using QAbstractTableModel::QAbstractTableModel;

    void show(const DrawsPreview& draws);

    int rowCount(const QModelIndex& parent = {}) const override;
    int columnCount(const QModelIndex& parent = {}) const override;
    QVariant data(const QModelIndex& index, int role) const override;
    QVariant headerData(int section, Qt::Orientation orientation, int role) const override;

  private:
    DrawsPreview draws_;
};

}  // namespace aftercurve
