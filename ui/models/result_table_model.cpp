#include "ui/models/result_table_model.h"

#include <QGuiApplication>
#include <algorithm>
#include <string>
#include <unordered_map>

#include "ui/models/look.h"
#include "ui/models/text.h"

namespace aftercurve {

namespace {

QString cellText(const Cell& cell, const Column& column) {
    const QString text = shown(shownText(cell, column));
    return column.kind == ColumnKind::text ? text : typeset(text);
}

QVariant sortValue(const Cell& cell) {
    if (const auto* text = std::get_if<std::string>(&cell)) {
        return shown(*text);
    }
    if (const auto* whole = std::get_if<std::int64_t>(&cell)) {
        return static_cast<qlonglong>(*whole);
    }
    if (const auto* number = std::get_if<double>(&cell)) {
        return *number;
    }
    return {};
}

}  // namespace

ResultTableModel::ResultTableModel(QObject* parent) : QAbstractTableModel(parent) {}

void ResultTableModel::setTable(std::shared_ptr<const Table> table, const std::vector<CellChange>& changes) {
    beginResetModel();
    table_ = std::move(table);
    before_.clear();
    if (table_ && !changes.empty()) {
        std::unordered_map<std::string_view, std::size_t> rowOf;
        for (std::size_t row = 0; row < table_->rows.size(); ++row) {
            rowOf.emplace(table_->rows[row].key, row);
        }
        for (const CellChange& change : changes) {
            const auto found = rowOf.find(change.rowKey);
            if (found != rowOf.end()) {
                before_.insert(static_cast<qint64>(found->second * table_->columns.size() + change.column),
                               shown(change.before));
            }
        }
    }
    endResetModel();
}

int ResultTableModel::columnOf(std::string_view key) const {
    if (!table_) {
        return -1;
    }
    const auto found = std::find_if(table_->columns.begin(), table_->columns.end(),
                                    [key](const Column& column) { return column.key == key; });
    return found == table_->columns.end() ? -1 : static_cast<int>(found - table_->columns.begin());
}

QString ResultTableModel::textAt(int row, std::string_view key) const {
    const int column = columnOf(key);
    return column < 0 ? QString() : data(index(row, column), Qt::DisplayRole).toString();
}

int ResultTableModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() || !table_ ? 0 : static_cast<int>(table_->rows.size());
}

int ResultTableModel::columnCount(const QModelIndex& parent) const {
    return parent.isValid() || !table_ ? 0 : static_cast<int>(table_->columns.size());
}

const QString* ResultTableModel::beforeOf(const QModelIndex& index) const {
    const auto found = before_.constFind(qint64{index.row()} * columnCount() + index.column());
    return found == before_.constEnd() ? nullptr : &found.value();
}

QVariant ResultTableModel::data(const QModelIndex& index, int role) const {
    if (!table_ || !index.isValid()) {
        return {};
    }
    const Row& row = table_->rows[static_cast<std::size_t>(index.row())];
    const auto at = static_cast<std::size_t>(index.column());
    const Column& column = table_->columns[at];
    if (at >= row.cells.size()) {
        return {};
    }
    switch (role) {
        case Qt::DisplayRole:
            return cellText(row.cells[at], column);
        case sortRole:
            return sortValue(row.cells[at]);
        case keyRole:
            return shown(row.key);
        case changedRole:
            return beforeOf(index) != nullptr;
        case Qt::TextAlignmentRole:
            return QVariant::fromValue(Qt::AlignVCenter |
                                       (column.kind == ColumnKind::text ? Qt::AlignLeft : Qt::AlignRight));
        case Qt::ToolTipRole: {
            const QString* before = beforeOf(index);
            if (before != nullptr) {
                return before->isEmpty() ? tr("new") : tr("was %1").arg(typeset(*before));
            }
            return column.kind == ColumnKind::text ? data(index, Qt::DisplayRole) : QVariant();
        }
        case Qt::AccessibleTextRole: {
            const QString* before = beforeOf(index);
            const QString text = cellText(row.cells[at], column);
            return before == nullptr ? text : tr("%1, changed, was %2").arg(text, *before);
        }
        case Qt::BackgroundRole:
            return beforeOf(index) == nullptr ? QVariant() : windowLook(QGuiApplication::palette()).mark;
        case Qt::ForegroundRole:
            return row.muted ? QVariant(windowLook(QGuiApplication::palette()).muted) : QVariant();
        default:
            return {};
    }
}

QVariant ResultTableModel::headerData(int section, Qt::Orientation orientation, int role) const {
    if (!table_ || orientation != Qt::Horizontal || section < 0 || section >= columnCount()) {
        return {};
    }
    const Column& column = table_->columns[static_cast<std::size_t>(section)];
    switch (role) {
        case Qt::DisplayRole:
            return column.unit.empty() ? shown(column.title)
                                       : shown(column.title) + u'\n' + shown(column.unit);
        case Qt::ToolTipRole:
            return shown(column.explanation);
        case Qt::TextAlignmentRole:
            return QVariant::fromValue(Qt::AlignBottom |
                                       (column.kind == ColumnKind::text ? Qt::AlignLeft : Qt::AlignRight));
        default:
            return {};
    }
}

}  // namespace aftercurve
