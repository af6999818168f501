#include "ui/models/study_table_model.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "ui/models/text.h"

namespace aftercurve {

StudyTableModel::StudyTableModel(StudyTable table, QObject* parent)
    : QAbstractTableModel(parent), table_(table) {}

void StudyTableModel::setStudy(std::shared_ptr<const Study> study) {
    beginResetModel();
    study_ = std::move(study);
    columns_ = study_ ? columnsOf(*study_, table_) : std::vector<TableColumn>{};
    filter_.clear();
    sortColumn_ = -1;
    studyChanged();
    arrange();
    endResetModel();
}

void StudyTableModel::updateStudy(std::shared_ptr<const Study> study) {
    if (!study_ || !study) {
        setStudy(std::move(study));
        return;
    }
    const auto names = [](const std::vector<TableColumn>& columns) {
        std::vector<std::string> list;
        for (const TableColumn& column : columns) {
            list.push_back(column.name);
        }
        return list;
    };
    std::vector<TableColumn> columns = columnsOf(*study, table_);
    const bool sameShape = aftercurve::rowCount(*study, table_) == aftercurve::rowCount(*study_, table_) &&
                           names(columns) == names(columns_);
    if (!sameShape) {
        beginResetModel();
    }
    study_ = std::move(study);
    columns_ = std::move(columns);
    studyChanged();
    if (!sameShape) {
        arrange();
        endResetModel();
    } else if (rowCount() > 0 && columnCount() > 0) {
        Q_EMIT dataChanged(index(0, 0), index(rowCount() - 1, columnCount() - 1));
        Q_EMIT headerDataChanged(Qt::Horizontal, 0, columnCount() - 1);
    }
}

void StudyTableModel::setFilter(const QString& text) {
    beginResetModel();
    filter_ = text;
    arrange();
    endResetModel();
}

bool StudyTableModel::matches(std::size_t row, const QString& text) const {
    for (std::size_t column = 0; column < columns_.size(); ++column) {
        if (shown(cellText(*study_, table_, row, column)).contains(text, Qt::CaseInsensitive)) {
            return true;
        }
    }
    return false;
}

void StudyTableModel::arrange() {
    order_.clear();
    const auto sortedBy = studyColumn(sortColumn_);
    arranged_ = study_ && (!filter_.isEmpty() || sortedBy);
    if (!arranged_) {
        return;
    }
    const std::size_t rows = aftercurve::rowCount(*study_, table_);
    if (!filter_.isEmpty()) {
        prepareFilter(filter_);
    }
    for (std::size_t row = 0; row < rows; ++row) {
        if (filter_.isEmpty() || matches(row, filter_)) {
            order_.push_back(static_cast<std::uint32_t>(row));
        }
    }
    if (!sortedBy) {
        return;
    }
    const bool down = sortOrder_ == Qt::DescendingOrder;
    const auto sortBy = [&](const auto& keys, auto isEmpty) {
        std::stable_sort(order_.begin(), order_.end(), [&](std::uint32_t a, std::uint32_t b) {
            if (isEmpty(keys[a]) || isEmpty(keys[b])) {
                return !isEmpty(keys[a]) && isEmpty(keys[b]);
            }
            return down ? keys[b] < keys[a] : keys[a] < keys[b];
        });
    };
    if (columns_[*sortedBy].number) {
        // "<2" sorts as the number behind the sign, just below it.
        std::vector<std::optional<double>> keys(rows);
        for (const std::uint32_t row : order_) {
            const std::string text = cellText(*study_, table_, row, *sortedBy);
            const bool below = !text.empty() && text.front() == '<';
            bool fine = false;
            const double value = QString::fromStdString(below ? text.substr(1) : text).toDouble(&fine);
            if (fine) {
                keys[row] = below ? std::nextafter(value, -std::numeric_limits<double>::infinity()) : value;
            }
        }
        sortBy(keys, [](const auto& key) { return !key; });
    } else {
        std::vector<std::string> keys(rows);
        for (const std::uint32_t row : order_) {
            keys[row] = cellText(*study_, table_, row, *sortedBy);
        }
        sortBy(keys, [](const auto& key) { return key.empty(); });
    }
}

void StudyTableModel::sort(int column, Qt::SortOrder order) {
    if (column == sortColumn_ && order == sortOrder_) {
        return;
    }
    beginResetModel();
    sortColumn_ = column;
    sortOrder_ = order;
    arrange();
    endResetModel();
}

std::size_t StudyTableModel::studyRow(int row) const {
    return arranged_ ? order_[static_cast<std::size_t>(row)] : static_cast<std::size_t>(row);
}

std::optional<int> StudyTableModel::rowOf(std::size_t row) const {
    if (!arranged_) {
        return row < static_cast<std::size_t>(rowCount()) ? std::optional(static_cast<int>(row))
                                                          : std::nullopt;
    }
    const auto found = std::find(order_.begin(), order_.end(), row);
    return found == order_.end() ? std::nullopt : std::optional(static_cast<int>(found - order_.begin()));
}

std::optional<std::size_t> StudyTableModel::studyColumn(int column) const {
    return column >= 0 && column < static_cast<int>(columns_.size())
               ? std::optional(static_cast<std::size_t>(column))
               : std::nullopt;
}

std::optional<int> StudyTableModel::columnNamed(std::string_view name) const {
    for (int column = 0; column < columnCount(); ++column) {
        const auto at = studyColumn(column);
        if (at && columns_[*at].name == name) {
            return column;
        }
    }
    return std::nullopt;
}

int StudyTableModel::rowCount(const QModelIndex& parent) const {
    if (parent.isValid() || !study_) {
        return 0;
    }
    return static_cast<int>(arranged_ ? order_.size() : aftercurve::rowCount(*study_, table_));
}

int StudyTableModel::columnCount(const QModelIndex& parent) const {
    return parent.isValid() || !study_ ? 0 : static_cast<int>(columns_.size());
}

QVariant StudyTableModel::data(const QModelIndex& index, int role) const {
    const auto column = index.isValid() && study_ ? studyColumn(index.column()) : std::nullopt;
    if (!column) {
        return {};
    }
    switch (role) {
        case Qt::DisplayRole:
        case Qt::EditRole:
            return shown(cellText(*study_, table_, studyRow(index.row()), *column));
        case Qt::TextAlignmentRole:
            return QVariant::fromValue(Qt::AlignVCenter |
                                       (columns_[*column].number ? Qt::AlignRight : Qt::AlignLeft));
        default:
            return {};
    }
}

bool StudyTableModel::setData(const QModelIndex& index, const QVariant& value, int role) {
    const auto column = index.isValid() && study_ ? studyColumn(index.column()) : std::nullopt;
    if (role != Qt::EditRole || !column || !editable_) {
        return false;
    }
    const std::string text = plain(value.toString().trimmed());
    const std::size_t row = studyRow(index.row());
    if (text == cellText(*study_, table_, row, *column)) {
        return false;
    }
    Q_EMIT changesWanted({SetCell{table_, row, *column, text}},
                         tr("change of %1").arg(shown(columns_[*column].label)));
    return true;
}

QVariant StudyTableModel::headerData(int section, Qt::Orientation orientation, int role) const {
    const auto column = study_ && orientation == Qt::Horizontal ? studyColumn(section) : std::nullopt;
    if (!column) {
        return {};
    }
    if (role == Qt::TextAlignmentRole) {
        return QVariant::fromValue(Qt::AlignBottom |
                                   (columns_[*column].number ? Qt::AlignRight : Qt::AlignLeft));
    }
    return role == Qt::DisplayRole ? QVariant(asSentence(shown(columns_[*column].label))) : QVariant();
}

Qt::ItemFlags StudyTableModel::flags(const QModelIndex& index) const {
    const Qt::ItemFlags flags = QAbstractTableModel::flags(index);
    return editable_ && index.isValid() && studyColumn(index.column()) ? flags | Qt::ItemIsEditable : flags;
}

}  // namespace aftercurve
