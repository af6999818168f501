#include "ui/models/data_model.h"

#include <QGuiApplication>
#include <QStringList>
#include <algorithm>

#include "core/study/laboratory_exclusion.h"
#include "core/tolerance/diary_runs.h"
#include "ui/models/exclusion_text.h"
#include "ui/models/look.h"
#include "ui/models/text.h"

namespace aftercurve {

DataModel::DataModel(StudyTable table, QObject* parent)
    : StudyTableModel(table, parent),
      hasStatus_(table == StudyTable::assays || table == StudyTable::fibre || table == StudyTable::diary) {}

std::string DataModel::file() const {
    switch (table()) {
        case StudyTable::assays:
            return study()->assays.file;
        case StudyTable::fibre:
            return study()->fibre.file;
        case StudyTable::diary:
            return study()->diary.file;
        default:
            return {};
    }
}

std::optional<std::size_t> DataModel::rowOfLine(std::size_t line) const {
    const auto find = [line](const auto& rows) -> std::optional<std::size_t> {
        const auto found =
            std::find_if(rows.begin(), rows.end(), [line](const auto& one) { return one.row == line; });
        return found == rows.end() ? std::nullopt
                                   : std::optional(static_cast<std::size_t>(found - rows.begin()));
    };
    switch (table()) {
        case StudyTable::assays:
            return find(study()->assays.readings);
        case StudyTable::fibre:
            return find(study()->fibre.results);
        case StudyTable::diary:
            return find(study()->diary.days);
        default:
            return std::nullopt;
    }
}

std::optional<std::size_t> DataModel::studyColumn(int column) const {
    return hasStatus_ && column == statusColumn() ? std::nullopt : StudyTableModel::studyColumn(column);
}

int DataModel::columnCount(const QModelIndex& parent) const {
    const int columns = StudyTableModel::columnCount(parent);
    return columns > 0 && hasStatus_ ? columns + 1 : columns;
}

const Exclusion* DataModel::exclusionOf(std::size_t row) const {
    const std::vector<Exclusion>& exclusions = study()->exclusions;
    if (table() == StudyTable::assays) {
        return excludes(exclusions, study()->assays.readings[row]);
    }
    if (table() == StudyTable::fibre) {
        return excludes(exclusions, study()->fibre.results[row]);
    }
    if (table() == StudyTable::diary) {
        const auto found = std::find_if(exclusions.begin(), exclusions.end(), [&](const Exclusion& one) {
            return excludesDay(one, study()->diary.days[row]);
        });
        return found == exclusions.end() ? nullptr : &*found;
    }
    return nullptr;
}

std::string DataModel::flawOf(std::size_t row) const {
    return table() == StudyTable::assays ? study()->assays.readings[row].flaw : std::string{};
}

QString DataModel::status(std::size_t row) const {
    QStringList parts;
    if (const Exclusion* exclusion = exclusionOf(row)) {
        parts << exclusionText(*exclusion);
    }
    if (const std::string flaw = flawOf(row); !flaw.empty()) {
        parts << tr("not usable: %1").arg(shown(flaw));
    }
    return parts.join(QStringLiteral("; "));
}

QVariant DataModel::data(const QModelIndex& index, int role) const {
    if (!study() || !index.isValid() || !hasStatus_) {
        return StudyTableModel::data(index, role);
    }
    const std::size_t row = studyRow(index.row());
    switch (role) {
        case Qt::DisplayRole:
            if (index.column() == statusColumn()) {
                return status(row);
            }
            break;
        case Qt::ToolTipRole:
            return status(row);
        case Qt::ForegroundRole: {
            const WindowLook look = windowLook(QGuiApplication::palette());
            if (!flawOf(row).empty()) {
                return look.error;
            }
            return exclusionOf(row) != nullptr ? QVariant(look.muted) : QVariant();
        }
        default:
            break;
    }
    return StudyTableModel::data(index, role);
}

QVariant DataModel::headerData(int section, Qt::Orientation orientation, int role) const {
    if (study() && hasStatus_ && orientation == Qt::Horizontal && section == statusColumn()) {
        if (role == Qt::DisplayRole) {
            return tr("Status");
        }
        return role == Qt::TextAlignmentRole ? QVariant::fromValue(Qt::AlignBottom | Qt::AlignLeft)
                                             : QVariant();
    }
    return StudyTableModel::headerData(section, orientation, role);
}

}  // namespace aftercurve
