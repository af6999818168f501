#include "ui/models/history_model.h"

#include <QGuiApplication>
#include <QStringList>

#include "ui/models/look.h"
#include "ui/models/text.h"

namespace aftercurve {

namespace {

QString momentOf(const std::string& iso) {
    // "2026-03-02T10:11:12Z" reads as "2026-03-02 10:11 UTC".
    const QString text = shown(iso);
    return text.size() >= 16 && text[10] == u'T'
               ? text.left(10) + u' ' + text.mid(11, 5) + QStringLiteral(" UTC")
               : text;
}

}  // namespace

QString placeOf(const LedgerPlace& place) {
    QStringList parts;
    if (!place.subject.empty()) {
        parts << QObject::tr("subject %1").arg(shown(place.subject));
    }
    if (!place.food.empty()) {
        parts << shown(place.food);
    }
    if (place.visit) {
        parts << QObject::tr("visit %1").arg(*place.visit);
    }
    if (place.timeMin) {
        parts << QObject::tr("%1 min").arg(*place.timeMin);
    }
    if (!place.field.empty()) {
        parts << shown(place.field);
    }
    return parts.join(QStringLiteral(", "));
}

HistoryModel::HistoryModel(QObject* parent) : QAbstractTableModel(parent) {}

void HistoryModel::setEntries(std::vector<LedgerEntry> saved, std::vector<MadeChange> unsaved) {
    beginResetModel();
    saved_ = std::move(saved);
    unsaved_ = std::move(unsaved);
    endResetModel();
}

int HistoryModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(saved_.size() + unsaved_.size());
}

int HistoryModel::columnCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : columns;
}

QString HistoryModel::unsavedText(const MadeChange& change, int column) const {
    switch (column) {
        case numberColumn:
            return tr("not saved");
        case onColumn:
            return momentOf(change.on);
        case byColumn:
            return shown(change.by);
        case whereColumn:
            return asSentence(shown(change.text));
        case fromColumn:
            return shown(change.from);
        case toColumn:
            return shown(change.to);
        case whyColumn:
            return shown(change.why);
        default:
            return {};
    }
}

QString HistoryModel::savedText(const LedgerEntry& entry, int column) const {
    switch (column) {
        case numberColumn:
            return QString::number(entry.n);
        case onColumn:
            return momentOf(entry.on);
        case byColumn:
            return shown(entry.by);
        case whereColumn: {
            const QString place = placeOf(entry.where);
            const QString what = shown(entry.what);
            return place.isEmpty() ? asSentence(what) : asSentence(tr("%1: %2").arg(what, place));
        }
        case fromColumn:
            return entry.from ? shown(*entry.from) : QString();
        case toColumn:
            return entry.to ? shown(*entry.to) : QString();
        case whyColumn:
            return shown(entry.why);
        default:
            return {};
    }
}

QVariant HistoryModel::data(const QModelIndex& index, int role) const {
    if (!index.isValid()) {
        return {};
    }
    const auto row = static_cast<std::size_t>(index.row());
    const bool isUnsaved = row < unsaved_.size();
    switch (role) {
        case Qt::DisplayRole:
        case Qt::ToolTipRole:
            return isUnsaved ? unsavedText(unsaved_[unsaved_.size() - 1 - row], index.column())
                             : savedText(saved_[saved_.size() - 1 - (row - unsaved_.size())], index.column());
        case Qt::TextAlignmentRole:
            return QVariant::fromValue(Qt::AlignLeft | Qt::AlignVCenter);
        case Qt::BackgroundRole:
            return isUnsaved ? QVariant(windowLook(QGuiApplication::palette()).mark) : QVariant();
        default:
            return {};
    }
}

QVariant HistoryModel::headerData(int section, Qt::Orientation orientation, int role) const {
    if (orientation != Qt::Horizontal) {
        return {};
    }
    if (role == Qt::TextAlignmentRole) {
        return QVariant::fromValue(Qt::AlignLeft | Qt::AlignBottom);
    }
    if (role != Qt::DisplayRole) {
        return {};
    }
    switch (section) {
        case numberColumn:
            return tr("Entry");
        case onColumn:
            return tr("When");
        case byColumn:
            return tr("By");
        case whereColumn:
            return tr("What was changed");
        case fromColumn:
            return tr("From");
        case toColumn:
            return tr("To");
        case whyColumn:
            return tr("Because");
        default:
            return {};
    }
}

}  // namespace aftercurve
