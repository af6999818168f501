#include "ui/takein/preview_model.h"

#include <QFont>
#include <QGuiApplication>

#include "ui/models/look.h"
#include "ui/models/text.h"
#include "ui/takein/mapping_forms.h"

namespace aftercurve {

void FilePreviewModel::show(const TablePreview& preview, const TableHead& head, const Binding& binding,
                            const TableMapping& how) {
    beginResetModel();
    preview_ = preview;
    head_ = head;
    how_ = how;
    roles_.clear();
    for (std::size_t i = 0; i < preview_.columns; ++i) {
        roles_ << QString();
    }
    for (const BoundColumn& column : binding.columns) {
        if (column.index < preview_.columns) {
            roles_[static_cast<qsizetype>(column.index)] = roleText(how, column.how);
        }
    }
    endResetModel();
}

void FilePreviewModel::clear() {
    beginResetModel();
    preview_ = {};
    head_ = {};
    roles_.clear();
    endResetModel();
}

QString FilePreviewModel::headerOf(int column) const {
    const auto at = static_cast<std::size_t>(column);
    return at < head_.headers.size() ? shown(head_.headers[at]) : QString();
}

int FilePreviewModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(preview_.rows.size());
}

int FilePreviewModel::columnCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(preview_.columns);
}

QVariant FilePreviewModel::data(const QModelIndex& index, int role) const {
    if (!index.isValid()) {
        return {};
    }
    const auto row = static_cast<std::size_t>(index.row());
    const std::size_t line = preview_.rows[row];
    const bool isData = line >= how_.firstRow && (how_.lastRow == 0 || line <= how_.lastRow);
    const bool isHeader = line <= how_.headerRow && line + how_.headerRows > how_.headerRow;
    switch (role) {
        case Qt::DisplayRole:
        case Qt::ToolTipRole:
            return shown(preview_.cells[row][static_cast<std::size_t>(index.column())]);
        case Qt::ForegroundRole: {
            const bool used = !roles_.value(index.column()).isEmpty();
            return isHeader || (isData && used) ? QVariant()
                                                : QVariant(windowLook(QGuiApplication::palette()).muted);
        }
        case Qt::BackgroundRole:
            return isHeader ? QVariant(windowLook(QGuiApplication::palette()).mark) : QVariant();
        case Qt::FontRole:
            if (isHeader) {
                QFont font;
                font.setWeight(QFont::DemiBold);
                return font;
            }
            return {};
        default:
            return {};
    }
}

QVariant FilePreviewModel::headerData(int section, Qt::Orientation orientation, int role) const {
    if (orientation == Qt::Vertical) {
        return role == Qt::DisplayRole && section < rowCount()
                   ? QVariant(QString::number(preview_.rows[static_cast<std::size_t>(section)]))
                   : QVariant();
    }
    if (role == Qt::TextAlignmentRole) {
        return QVariant::fromValue(Qt::AlignLeft | Qt::AlignBottom);
    }
    const QString what = roles_.value(section);
    if (role == Qt::DisplayRole) {
        return what.isEmpty() ? tr("not used") : what;
    }
    if (role == Qt::ForegroundRole) {
        const WindowLook look = windowLook(QGuiApplication::palette());
        return what.isEmpty() ? look.muted : look.accent;
    }
    return {};
}

void TextListModel::show(const DrawsPreview& draws) {
    beginResetModel();
    draws_ = draws;
    endResetModel();
}

int TextListModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(draws_.rows.size());
}

int TextListModel::columnCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(draws_.headers.size());
}

QVariant TextListModel::data(const QModelIndex& index, int role) const {
    if (!index.isValid() || role != Qt::DisplayRole) {
        return {};
    }
    const auto& row = draws_.rows[static_cast<std::size_t>(index.row())];
    const auto column = static_cast<std::size_t>(index.column());
    return column < row.size() ? shown(row[column]) : QString();
}

QVariant TextListModel::headerData(int section, Qt::Orientation orientation, int role) const {
    if (role == Qt::TextAlignmentRole) {
        return QVariant::fromValue(Qt::AlignLeft | Qt::AlignBottom);
    }
    return orientation == Qt::Horizontal && role == Qt::DisplayRole
               ? QVariant(shown(draws_.headers[static_cast<std::size_t>(section)]))
               : QVariant();
}

}  // namespace aftercurve
