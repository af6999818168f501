#include "ui/models/samples_model.h"

#include <QGuiApplication>
#include <QStringList>
#include <algorithm>
#include <cmath>

#include "core/study/laboratory_exclusion.h"
#include "ui/models/exclusion_text.h"
#include "ui/models/look.h"
#include "ui/models/text.h"

namespace aftercurve {

namespace {

const QString absent = QStringLiteral("–");

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

constexpr int lineColumn = 0;

}  // namespace

SamplesModel::SamplesModel(QObject* parent) : StudyTableModel(StudyTable::samples, parent) {}

void SamplesModel::studyChanged() {
    flaws_.clear();
    decimals_.clear();
    shownColumns_.clear();
    if (!study()) {
        return;
    }
    for (const auto& values : study()->concentrations) {
        decimals_.push_back(decimalsOf(values));
    }
    for (std::size_t i = 0; i < study()->flaws.size(); ++i) {
        flaws_[study()->flaws[i].draw].push_back(i);
    }
    for (std::size_t i = 0; i < studyColumns().size(); ++i) {
        if (allColumns_ || isUsed(studyColumns()[i])) {
            shownColumns_.push_back(i);
        }
    }
}

bool SamplesModel::isUsed(const TableColumn& column) const {
    if (column.name == "period") {
        return std::any_of(study()->draws.begin(), study()->draws.end(),
                           [](const Draw& draw) { return draw.period != 0; });
    }
    return !(column.name == "nominal_min" && study()->nominalMin.empty()) &&
           !(column.name == "replicate" && study()->replicate.empty()) &&
           !(column.name == "remark" && study()->remarks.empty());
}

void SamplesModel::setAllColumns(bool all) {
    if (all != allColumns_) {
        beginResetModel();
        allColumns_ = all;
        studyChanged();
        endResetModel();
    }
}

void SamplesModel::prepareFilter(const QString& text) {
    // Decided once a subject and once a food, so that a million draws cost a million look-ups.
    const auto fits = [&text](std::string_view part) {
        return shown(part).contains(text, Qt::CaseInsensitive);
    };
    subjectFits_.clear();
    for (const Subject& subject : study()->subjects) {
        subjectFits_.push_back(fits(subject.id) ? 1 : 0);
    }
    foodFits_.clear();
    for (const Food& food : study()->foods) {
        foodFits_.push_back(fits(food.id) || fits(food.label) ? 1 : 0);
    }
}

bool SamplesModel::matches(std::size_t row, const QString& text) const {
    const Draw& draw = study()->draws[row];
    if (subjectFits_[draw.subject] != 0 || foodFits_[draw.food] != 0) {
        return true;
    }
    const std::string_view remark = remarkOn(*study(), static_cast<std::uint32_t>(row));
    return !remark.empty() && shown(remark).contains(text, Qt::CaseInsensitive);
}

std::optional<int> SamplesModel::rowOfLine(std::string_view file, std::size_t line) const {
    for (std::size_t draw = 0; study() && draw < study()->draws.size(); ++draw) {
        if (study()->draws[draw].row == line && study()->sampleFiles[study()->draws[draw].file] == file) {
            return rowOf(draw);
        }
    }
    return std::nullopt;
}

std::optional<int> SamplesModel::rowOfSubject(std::string_view subject, std::string_view food, int visit,
                                              std::optional<double> timeMin) const {
    std::optional<std::size_t> best;
    for (std::size_t i = 0; study() && i < study()->draws.size(); ++i) {
        const Draw& draw = study()->draws[i];
        if (study()->subjects[draw.subject].id != subject ||
            (!food.empty() && study()->foods[draw.food].id != food) || (visit != 0 && draw.visit != visit)) {
            continue;
        }
        const auto distance = [&](std::size_t at) {
            return timeMin ? std::abs(study()->draws[at].timeMin - *timeMin) : 0.0;
        };
        if (!best || distance(i) < distance(*best)) {
            best = i;
        }
    }
    return best ? rowOf(*best) : std::nullopt;
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

std::optional<std::size_t> SamplesModel::studyColumn(int column) const {
    return column > lineColumn && column < statusColumn()
               ? std::optional(shownColumns_[static_cast<std::size_t>(column - 1)])
               : std::nullopt;
}

int SamplesModel::columnCount(const QModelIndex& parent) const {
    return parent.isValid() || !study() ? 0 : statusColumn() + 1;
}

std::optional<std::size_t> SamplesModel::analyteOf(int column) const {
    const auto at = studyColumn(column);
    return at ? findAnalyte(*study(), studyColumns()[*at].name) : std::nullopt;
}

const Exclusion* SamplesModel::exclusionOf(std::size_t at, std::optional<std::size_t> analyte) const {
    const Draw& draw = study()->draws[at];
    const auto covers = [&](const Exclusion& exclusion) {
        if (isOfLaboratory(exclusion)) {
            return false;
        }
        if (!exclusion.analyte.empty() && (!analyte || study()->analytes[*analyte].id != exclusion.analyte)) {
            return false;
        }
        const bool time = !exclusion.timeMin || draw.timeMin == *exclusion.timeMin ||
                          nominalMinOf(*study(), at) == exclusion.timeMin;
        return time &&
               (exclusion.subject.empty() || exclusion.subject == study()->subjects[draw.subject].id) &&
               (exclusion.food.empty() || exclusion.food == study()->foods[draw.food].id) &&
               (!exclusion.visit || *exclusion.visit == draw.visit);
    };
    const auto found = std::find_if(study()->exclusions.begin(), study()->exclusions.end(), covers);
    return found == study()->exclusions.end() ? nullptr : &*found;
}

const CellFlaw* SamplesModel::flawOf(std::size_t draw, std::size_t analyte) const {
    const auto found = flaws_.find(draw);
    if (found != flaws_.end()) {
        for (const std::size_t at : found->second) {
            if (study()->flaws[at].analyte == analyte) {
                return &study()->flaws[at];
            }
        }
    }
    return nullptr;
}

QString SamplesModel::status(std::size_t draw) const {
    QStringList parts;
    const Exclusion* whole = exclusionOf(draw, std::nullopt);
    if (whole != nullptr) {
        parts << exclusionText(*whole);
    }
    for (std::size_t analyte = 0; analyte < study()->analytes.size(); ++analyte) {
        const Exclusion* part = exclusionOf(draw, analyte);
        if (part != nullptr && part != whole && !part->analyte.empty()) {
            parts << exclusionText(*part);
        }
        if (const CellFlaw* flaw = flawOf(draw, analyte)) {
            parts << tr("%1 not usable: %2").arg(shown(study()->analytes[analyte].id), shown(flaw->reason));
        }
    }
    return parts.join(QStringLiteral("; "));
}

QString SamplesModel::displayText(std::size_t draw, int column) const {
    if (column == lineColumn) {
        const std::uint32_t line = study()->draws[draw].row;
        return line == 0 ? tr("new") : QString::number(line);
    }
    if (column == statusColumn()) {
        return status(draw);
    }
    if (const auto analyte = analyteOf(column)) {
        const auto& value = study()->concentrations[*analyte][draw];
        if (value) {
            return QString::number(*value, 'f', decimals_[*analyte]);
        }
        if (flawOf(draw, *analyte) != nullptr) {
            return tr("✕ unusable");
        }
    }
    const std::size_t at = *studyColumn(column);
    if (studyColumns()[at].name == "food") {
        return shown(study()->foods[study()->draws[draw].food].label);
    }
    const QString text = shown(cellText(*study(), StudyTable::samples, draw, at));
    const bool isNumber = studyColumns()[at].number;
    return text.isEmpty() && isNumber ? absent : isNumber ? typeset(text) : text;
}

QVariant SamplesModel::data(const QModelIndex& index, int role) const {
    if (!study() || !index.isValid()) {
        return {};
    }
    const std::size_t at = studyRow(index.row());
    const int column = index.column();
    const auto analyte = analyteOf(column);
    switch (role) {
        case Qt::DisplayRole:
            return displayText(at, column);
        case Qt::TextAlignmentRole:
            if (column == lineColumn) {
                return QVariant::fromValue(Qt::AlignVCenter | Qt::AlignRight);
            }
            break;
        case excludedRole:
            return exclusionOf(at, analyte) != nullptr;
        case flawedRole:
            return analyte && flawOf(at, *analyte) != nullptr;
        case Qt::ToolTipRole:
            if (column == lineColumn && study()->draws[at].row > 0) {
                return tr("%1, line %2")
                    .arg(shown(study()->sampleFiles[study()->draws[at].file]))
                    .arg(study()->draws[at].row);
            }
            return status(at);
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
            break;
    }
    return StudyTableModel::data(index, role);
}

QVariant SamplesModel::headerData(int section, Qt::Orientation orientation, int role) const {
    if (!study() || orientation != Qt::Horizontal || section >= columnCount()) {
        return {};
    }
    const bool isLine = section == lineColumn;
    if (role == Qt::TextAlignmentRole && (isLine || section == statusColumn())) {
        return QVariant::fromValue(Qt::AlignBottom | (isLine ? Qt::AlignRight : Qt::AlignLeft));
    }
    if (role == Qt::DisplayRole) {
        if (isLine) {
            return tr("Line");
        }
        if (section == statusColumn()) {
            return tr("Status");
        }
        if (const auto analyte = analyteOf(section)) {
            const Analyte& one = study()->analytes[*analyte];
            const QString name = asSentence(shown(one.id));
            return one.unit.empty() ? name : name + u'\n' + shown(one.unit);
        }
        if (studyColumns()[*studyColumn(section)].name == "time_min") {
            return tr("Time\nmin");
        }
    }
    return StudyTableModel::headerData(section, orientation, role);
}

}  // namespace aftercurve
