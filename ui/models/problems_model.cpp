#include "ui/models/problems_model.h"

#include <QCoreApplication>
#include <QGuiApplication>
#include <QPainter>
#include <QPixmap>
#include <QStringList>

#include "ui/models/look.h"
#include "ui/models/text.h"

namespace aftercurve {

QString severityName(Severity severity) {
    switch (severity) {
        case Severity::error:
            return QCoreApplication::translate("severity", "error");
        case Severity::warning:
            return QCoreApplication::translate("severity", "warning");
        case Severity::note:
            return QCoreApplication::translate("severity", "note");
    }
    return {};
}

QIcon severityIcon(Severity severity) {
    const WindowLook look = windowLook(QGuiApplication::palette());
    constexpr int side = 64;
    QPixmap picture(side, side);
    picture.fill(Qt::transparent);
    QPainter painter(&picture);
    painter.setRenderHint(QPainter::Antialiasing);
    painter.setPen(Qt::NoPen);
    if (severity == Severity::error) {
        painter.setBrush(look.error);
        painter.drawPolygon(
            QPolygonF({{20, 4}, {44, 4}, {60, 20}, {60, 44}, {44, 60}, {20, 60}, {4, 44}, {4, 20}}));
    } else if (severity == Severity::warning) {
        painter.setBrush(look.warning);
        painter.drawPolygon(QPolygonF({{32, 5}, {61, 58}, {3, 58}}));
    } else {
        painter.setBrush(Qt::NoBrush);
        painter.setPen(QPen(look.muted, 7));
        painter.drawEllipse(QRectF(9, 9, 46, 46));
    }
    QIcon icon(picture);
    // A selected row would tint it, and the sign is one by its colour too.
    icon.addPixmap(picture, QIcon::Selected);
    return icon;
}

bool canBeAccepted(const Problem& problem) {
    return problem.severity == Severity::warning && !problem.check.empty() && problem.acceptedBecause.empty();
}

QString concerns(const Problem& problem) {
    const auto say = [](const char* text) { return QCoreApplication::translate("problem", text); };
    QStringList parts;
    if (!problem.subject.empty()) {
        parts << say("subject %1").arg(shown(problem.subject));
    }
    if (!problem.food.empty()) {
        parts << shown(problem.food);
    }
    if (problem.visit != 0) {
        parts << say("visit %1").arg(problem.visit);
    }
    if (!problem.analyte.empty()) {
        parts << shown(problem.analyte);
    }
    if (problem.timeMin) {
        parts << say("%1 min").arg(*problem.timeMin);
    }
    return parts.join(QStringLiteral(", "));
}

ProblemsModel::ProblemsModel(QObject* parent) : QAbstractTableModel(parent) {}

void ProblemsModel::setProblems(std::vector<Problem> problems) {
    beginResetModel();
    problems_ = std::move(problems);
    endResetModel();
}

int ProblemsModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(problems_.size());
}

int ProblemsModel::columnCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : columns;
}

QVariant ProblemsModel::data(const QModelIndex& index, int role) const {
    if (!index.isValid()) {
        return {};
    }
    const Problem& problem = problemAt(index.row());
    if (role == severityRole) {
        return static_cast<int>(problem.severity);
    }
    if (role == acceptedRole) {
        return !problem.acceptedBecause.empty();
    }
    if (role == Qt::ForegroundRole && !problem.acceptedBecause.empty()) {
        return windowLook(QGuiApplication::palette()).muted;
    }
    if (role == Qt::DecorationRole && index.column() == severityColumn) {
        return severityIcon(problem.severity);
    }
    if (role == Qt::TextAlignmentRole) {
        return QVariant::fromValue(Qt::AlignLeft | Qt::AlignVCenter);
    }
    if (role != Qt::DisplayRole && role != Qt::ToolTipRole) {
        return {};
    }
    switch (index.column()) {
        case severityColumn:
            return problem.acceptedBecause.empty() ? severityName(problem.severity) : tr("accepted");
        case placeColumn: {
            const QString place = shown(placeOf(problem));
            return problem.column.empty() ? place : tr("%1, %2").arg(place, shown(problem.column));
        }
        case concernsColumn:
            return concerns(problem);
        case whatColumn:
            return asSentence(shown(problem.what));
        case remedyColumn:
            return problem.acceptedBecause.empty() ? asSentence(shown(problem.remedy))
                                                   : tr("Accepted: %1").arg(shown(problem.acceptedBecause));
        default:
            return {};
    }
}

QVariant ProblemsModel::headerData(int section, Qt::Orientation orientation, int role) const {
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
        case severityColumn:
            return tr("Severity");
        case placeColumn:
            return tr("Place");
        case concernsColumn:
            return tr("Concerns");
        case whatColumn:
            return tr("What was found");
        case remedyColumn:
            return tr("What to do");
        default:
            return {};
    }
}

}  // namespace aftercurve
