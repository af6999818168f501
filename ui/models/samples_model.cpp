#include "ui/models/samples_model.h"

#include <QGuiApplication>
#include <QStringList>
#include <algorithm>

#include "ui/models/look.h"
#include "ui/models/text.h"

namespace aftercurve {

namespace {

const QString absent = QStringLiteral("–");

QString minutes(double value) {
    return typeset(QString::number(value, 'g', 7));
}

/// Decimals that the first values are written with, so that the column lines up; three at most, which a
/// converted value would exceed without meaning it.
int decimalsOf(const std::vector<std::optional<double>>& values) {
    constexpr std::size_t looked = 500;
    constexpr int most = 3;
    int decimals = 0;
    for (std::size_t i = 0; i < std::min(looked, values.size()); ++i) {
        const QString text = values[i] ? QString::number(*values[i], 'g', 7) : QString();
        const auto point = text.indexOf(u'.');
        decimals = point < 0 ? decimals : std::max(decimals, static_cast<int>(text.size() - point - 1));
    }
    return std::min(decimals, most);
}

}  // namespace

SamplesModel::SamplesModel(QObject* parent) : QAbstractTableModel(parent) {}

void SamplesModel::setStudy(std::shared_ptr<const Study> study) {
    beginResetModel();
    study_ = std::move(study);
    filtered_ = false;
    kept_.clear();
    flaws_.clear();
    decimals_.clear();
    if (study_) {
        for (const auto& values : study_->concentrations) {
            decimals_.push_back(decimalsOf(values));
        }
        for (std::size_t i = 0; i < study_->flaws.size(); ++i) {
            flaws_[study_->flaws[i].draw].push_back(i);
        }
    }
    endResetModel();
}

void SamplesModel::setFilter(const QString& text) {
    beginResetModel();
    kept_.clear();
    filtered_ = study_ && !text.isEmpty();
    if (filtered_) {
        // Decided once a subject and once a food, so that a million draws cost a million look-ups, not
        // comparisons.
        std::vector<char> subjectFits;
        for (const Subject& subject : study_->subjects) {
            subjectFits.push_back(shown(subject.id).contains(text, Qt::CaseInsensitive) ? 1 : 0);
        }
        std::vector<char> foodFits;
        for (const Food& food : study_->foods) {
            const bool fits = shown(food.id).contains(text, Qt::CaseInsensitive) ||
                              shown(food.label).contains(text, Qt::CaseInsensitive);
            foodFits.push_back(fits ? 1 : 0);
        }
        for (std::size_t i = 0; i < study_->draws.size(); ++i) {
            const Draw& draw = study_->draws[i];
            if (subjectFits[draw.subject] != 0 || foodFits[draw.food] != 0) {
                kept_.push_back(static_cast<std::uint32_t>(i));
            }
        }
    }
    endResetModel();
}

std::size_t SamplesModel::drawAt(int row) const {
    return filtered_ ? kept_[static_cast<std::size_t>(row)] : static_cast<std::size_t>(row);
}

std::optional<int> SamplesModel::rowOf(std::string_view file, std::size_t line) const {
    for (int row = 0; row < rowCount(); ++row) {
        const Draw& draw = study_->draws[drawAt(row)];
        if (draw.row == line && study_->sampleFiles[draw.file] == file) {
            return row;
        }
    }
    return std::nullopt;
}

std::optional<int> SamplesModel::rowOfSubject(std::string_view subject, std::string_view food) const {
    for (int row = 0; row < rowCount(); ++row) {
        const Draw& draw = study_->draws[drawAt(row)];
        if (study_->subjects[draw.subject].id == subject &&
            (food.empty() || study_->foods[draw.food].id == food)) {
            return row;
        }
    }
    return std::nullopt;
}

std::size_t SamplesModel::emptyDraws(const Study& study) {
    std::size_t count = 0;
    for (std::size_t draw = 0; draw < study.draws.size(); ++draw) {
        const bool any = std::any_of(study.concentrations.begin(), study.concentrations.end(),
                                     [draw](const auto& values) { return values[draw].has_value(); });
        count += any ? 0 : 1;
    }
    return count;
}

int SamplesModel::rowCount(const QModelIndex& parent) const {
    if (parent.isValid() || !study_) {
        return 0;
    }
    return static_cast<int>(filtered_ ? kept_.size() : study_->draws.size());
}

int SamplesModel::columnCount(const QModelIndex& parent) const {
    return parent.isValid() || !study_ ? 0 : remarkColumn() + 1;
}

int SamplesModel::remarkColumn() const {
    return firstAnalyte + static_cast<int>(study_->analytes.size());
}

const Exclusion* SamplesModel::exclusionOf(const Draw& draw, std::optional<std::size_t> analyte) const {
    const auto covers = [&](const Exclusion& exclusion) {
        if (!exclusion.analyte.empty() && (!analyte || study_->analytes[*analyte].id != exclusion.analyte)) {
            return false;
        }
        return (exclusion.subject.empty() || exclusion.subject == study_->subjects[draw.subject].id) &&
               (exclusion.food.empty() || exclusion.food == study_->foods[draw.food].id) &&
               (!exclusion.visit || *exclusion.visit == draw.visit);
    };
    const auto found = std::find_if(study_->exclusions.begin(), study_->exclusions.end(), covers);
    return found == study_->exclusions.end() ? nullptr : &*found;
}

const CellFlaw* SamplesModel::flawOf(std::size_t draw, std::size_t analyte) const {
    const auto found = flaws_.find(draw);
    if (found != flaws_.end()) {
        for (const std::size_t at : found->second) {
            if (study_->flaws[at].analyte == analyte) {
                return &study_->flaws[at];
            }
        }
    }
    return nullptr;
}

QString SamplesModel::exclusionText(const Exclusion& exclusion) const {
    QString text = exclusion.reason.empty() ? tr("excluded, no reason given")
                                            : tr("excluded: %1").arg(shown(exclusion.reason));
    if (!exclusion.analyte.empty()) {
        text = tr("%1 %2").arg(shown(exclusion.analyte), text);
    }
    QStringList origin;
    for (const std::string& part : {exclusion.by, exclusion.on}) {
        if (!part.empty()) {
            origin << shown(part);
        }
    }
    return origin.isEmpty() ? text : tr("%1 (%2)").arg(text, origin.join(QStringLiteral(", ")));
}

QString SamplesModel::remark(std::size_t draw) const {
    QStringList parts;
    const Exclusion* whole = exclusionOf(study_->draws[draw], std::nullopt);
    if (whole != nullptr) {
        parts << exclusionText(*whole);
    }
    for (std::size_t analyte = 0; analyte < study_->analytes.size(); ++analyte) {
        const Exclusion* part = exclusionOf(study_->draws[draw], analyte);
        if (part != nullptr && part != whole && !part->analyte.empty()) {
            parts << exclusionText(*part);
        }
        if (const CellFlaw* flaw = flawOf(draw, analyte)) {
            parts << tr("%1 not usable: %2").arg(shown(study_->analytes[analyte].id), shown(flaw->reason));
        }
    }
    return parts.join(QStringLiteral("; "));
}

QString SamplesModel::cellText(std::size_t at, int column) const {
    const Draw& draw = study_->draws[at];
    switch (column) {
        case lineColumn:
            return QString::number(draw.row);
        case subjectColumn:
            return shown(study_->subjects[draw.subject].id);
        case foodColumn:
            return shown(study_->foods[draw.food].label);
        case visitColumn:
            return QString::number(draw.visit);
        case periodColumn:
            return draw.period == 0 ? absent : QString::number(draw.period);
        case timeColumn:
            return minutes(draw.timeMin);
        default:
            break;
    }
    if (column == remarkColumn()) {
        return remark(at);
    }
    const auto analyte = static_cast<std::size_t>(column - firstAnalyte);
    const auto& value = study_->concentrations[analyte][at];
    if (value) {
        return QString::number(*value, 'f', decimals_[analyte]);
    }
    return flawOf(at, analyte) == nullptr ? absent : tr("✕ unusable");
}

QVariant SamplesModel::data(const QModelIndex& index, int role) const {
    if (!study_ || !index.isValid()) {
        return {};
    }
    const std::size_t at = drawAt(index.row());
    const int column = index.column();
    const bool isAnalyte = column >= firstAnalyte && column < remarkColumn();
    const auto analyte = static_cast<std::size_t>(std::max(0, column - firstAnalyte));
    switch (role) {
        case Qt::DisplayRole:
            return cellText(at, column);
        case Qt::TextAlignmentRole: {
            const bool isText = column == subjectColumn || column == foodColumn || column == remarkColumn();
            return QVariant::fromValue(Qt::AlignVCenter | (isText ? Qt::AlignLeft : Qt::AlignRight));
        }
        case excludedRole:
            return exclusionOf(study_->draws[at], isAnalyte ? std::optional(analyte) : std::nullopt) !=
                   nullptr;
        case flawedRole:
            return isAnalyte && flawOf(at, analyte) != nullptr;
        case Qt::ToolTipRole:
            if (column == lineColumn) {
                return tr("%1, line %2")
                    .arg(shown(study_->sampleFiles[study_->draws[at].file]))
                    .arg(study_->draws[at].row);
            }
            return remark(at);
        case Qt::ForegroundRole: {
            const WindowLook look = windowLook(QGuiApplication::palette());
            if (data(index, flawedRole).toBool()) {
                return look.error;
            }
            const bool muted = column == lineColumn || data(index, excludedRole).toBool();
            return muted ? QVariant(look.muted) : QVariant();
        }
        case Qt::BackgroundRole:
            return data(index, flawedRole).toBool()
                       ? QVariant(windowLook(QGuiApplication::palette()).errorWash)
                       : QVariant();
        default:
            return {};
    }
}

QVariant SamplesModel::headerData(int section, Qt::Orientation orientation, int role) const {
    if (!study_ || orientation != Qt::Horizontal || section >= columnCount()) {
        return {};
    }
    if (role == Qt::TextAlignmentRole) {
        const bool isText = section == subjectColumn || section == foodColumn || section == remarkColumn();
        return QVariant::fromValue(Qt::AlignBottom | (isText ? Qt::AlignLeft : Qt::AlignRight));
    }
    if (role != Qt::DisplayRole) {
        return {};
    }
    switch (section) {
        case lineColumn:
            return tr("Line");
        case subjectColumn:
            return tr("Subject");
        case foodColumn:
            return tr("Food");
        case visitColumn:
            return tr("Visit");
        case periodColumn:
            return tr("Period");
        case timeColumn:
            return tr("Time\nmin");
        default:
            break;
    }
    if (section == remarkColumn()) {
        return tr("Remark");
    }
    const Analyte& analyte = study_->analytes[static_cast<std::size_t>(section - firstAnalyte)];
    QString name = shown(analyte.id);
    name[0] = name.at(0).toUpper();
    return analyte.unit.empty() ? name : name + u'\n' + shown(analyte.unit);
}

}  // namespace aftercurve
