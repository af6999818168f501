#include "ui/takein/take_in_session.h"

#include <QFile>
#include <QFileInfo>
#include <QJsonArray>
#include <QJsonDocument>
#include <QJsonObject>
#include <QRegularExpression>
#include <algorithm>
#include <filesystem>

#include "core/edit/save_study.h"
#include "core/files/atomic_write.h"
#include "core/intake/mapping_json.h"
#include "core/intake/source.h"
#include "ui/models/text.h"

namespace aftercurve {

namespace {

constexpr std::size_t previewRows = 200;
constexpr std::size_t fileRows = 60;
constexpr qint64 mostMappingBytes = qint64{4} << 20;

std::filesystem::path pathOf(const QString& path) {
    return std::filesystem::path(path.toStdU16String());
}

bool hasError(const std::vector<Problem>& problems) {
    return std::any_of(problems.begin(), problems.end(),
                       [](const Problem& p) { return p.severity == Severity::error; });
}

/// "foods[1].role" taken apart: "foods", 1, "role".
QStringList partsOf(const std::string& key) {
    static const QRegularExpression border(QStringLiteral("[\\.\\[\\]]+"));
    return shown(key).split(border, Qt::SkipEmptyParts);
}

QJsonValue valueAt(const QJsonValue& root, const QStringList& parts) {
    QJsonValue value = root;
    for (const QString& part : parts) {
        value = value.isArray() ? value.toArray().at(part.toInt()) : value.toObject().value(part);
    }
    return value;
}

QJsonValue withValue(const QJsonValue& root, const QStringList& parts, const QJsonValue& value) {
    if (parts.isEmpty()) {
        return value;
    }
    if (root.isArray()) {
        QJsonArray list = root.toArray();
        const int at = parts.front().toInt();
        if (at >= 0 && at < list.size()) {
            list.replace(at, withValue(list.at(at), parts.mid(1), value));
        }
        return list;
    }
    QJsonObject object = root.toObject();
    object.insert(parts.front(), withValue(object.value(parts.front()), parts.mid(1), value));
    return object;
}

QJsonObject jsonOf(const Mapping& mapping) {
    return QJsonDocument::fromJson(QByteArray::fromStdString(mappingText(mapping))).object();
}

Problem firstError(std::vector<Problem> problems) {
    const auto found = std::find_if(problems.begin(), problems.end(),
                                    [](const Problem& p) { return p.severity == Severity::error; });
    return found != problems.end() ? *found : problems.empty() ? Problem{} : problems.front();
}

}  // namespace

TakeInSession::TakeInSession(QObject* parent)
    : QObject(parent), tables_(std::make_shared<const std::vector<InputTable>>()) {
    for (LatestRun* run : {&reading_, &trying_, &taking_}) {
        connect(run, &LatestRun::runningChanged, this, [this] { Q_EMIT busyChanged(isBusy()); });
        connect(run, &LatestRun::progressed, this, [this](double share) { Q_EMIT progressed(share); });
    }
}

void TakeInSession::open(const QStringList& files) {
    reading_.start([this, files](const Progress& progress) -> LatestRun::Delivery {
        std::vector<Source> sources;
        std::vector<Problem> problems;
        for (qsizetype i = 0; i < files.size(); ++i) {
            if (!progress(0.5 * static_cast<double>(i) / static_cast<double>(files.size()), "opening")) {
                return [] {};
            }
            Result<Source> source = openSource(pathOf(files[i]));
            if (source) {
                sources.push_back(std::move(source).value());
            } else {
                problems.push_back(source.problem());
            }
        }
        if (!problems.empty()) {
            return [this, problems] { Q_EMIT openFailed(problems); };
        }
        auto tables = std::make_shared<const std::vector<InputTable>>(inputTables(sources));
        if (!progress(0.6, "guessing")) {
            return [] {};
        }
        GuessedMapping guess = guessMapping(*tables);
        return [this, tables, guess = std::move(guess)] {
            tables_ = tables;
            guess_ = guess;
            mapping_ = guess_.mapping;
            trial_ = {};
            isTried_ = false;
            Q_EMIT opened();
            Q_EMIT mappingChanged();
            tryMapping();
        };
    });
}

void TakeInSession::stop() {
    reading_.stop();
    taking_.stop();
}

std::optional<std::size_t> TakeInSession::entryOf(std::size_t table) const {
    return entriesFor(mapping_, *tables_)[table];
}

void TakeInSession::setMapping(const Mapping& mapping) {
    if (mapping == mapping_) {
        return;
    }
    mapping_ = mapping;
    isTried_ = false;
    Q_EMIT mappingChanged();
    tryMapping();
}

void TakeInSession::tryMapping() {
    trying_.start([this, tables = tables_, mapping = mapping_](const Progress&) -> LatestRun::Delivery {
        TakeInTrial trial;
        trial.problems = checkMapping(mapping, *tables);
        const auto entries = entriesFor(mapping, *tables);
        for (std::size_t i = 0; i < tables->size(); ++i) {
            const InputTable& table = (*tables)[i];
            const TableMapping how = entries[i] ? mapping.tables[*entries[i]] : TableMapping{};
            Result<TablePreview> preview = previewTable(table, how.dialect, fileRows);
            Result<TableHead> head = readHead(table, how);
            trial.previews.push_back(preview ? std::move(preview).value() : TablePreview{});
            trial.heads.push_back(head ? std::move(head).value() : TableHead{});
            trial.bindings.push_back(bind(trial.heads.back(), how));
        }
        if (!hasError(trial.problems)) {
            trial.draws = previewDraws(*tables, mapping, previewRows);
        }
        return [this, trial = std::move(trial)] {
            trial_ = trial;
            isTried_ = true;
            Q_EMIT tried();
        };
    });
}

QString TakeInSession::answerAt(const std::string& key) const {
    const QJsonValue value = valueAt(jsonOf(mapping_), partsOf(key));
    return value.isDouble() ? QString::number(value.toDouble(), 'g', 15) : value.toString();
}

Result<Done> TakeInSession::answer(const std::string& key, const QString& text) {
    const QString trimmed = text.trimmed();
    bool isNumber = false;
    const double number = trimmed.toDouble(&isNumber);
    std::vector<QJsonValue> tries{trimmed.isEmpty() ? QJsonValue(QJsonValue::Null) : QJsonValue(trimmed)};
    if (isNumber) {
        tries.insert(tries.begin(), QJsonValue(number));
    }
    std::vector<Problem> problems;
    for (const QJsonValue& value : tries) {
        const QJsonValue changed = withValue(jsonOf(mapping_), partsOf(key), value);
        MappingReading reading =
            readMapping(QJsonDocument(changed.toObject()).toJson().toStdString(), "mapping");
        if (reading.mapping) {
            setMapping(*reading.mapping);
            return Done{};
        }
        problems = std::move(reading.problems);
    }
    return firstError(problems);
}

Result<Done> TakeInSession::loadMapping(const QString& path) {
    QFile file(path);
    if (!file.open(QIODevice::ReadOnly) || file.size() > mostMappingBytes) {
        Problem problem;
        problem.what = plain(tr("%1 cannot be read as a mapping").arg(QFileInfo(path).fileName()));
        problem.remedy = plain(tr("choose the file that was written with Save mapping"));
        return problem;
    }
    MappingReading reading = readMapping(file.readAll().toStdString(), plain(QFileInfo(path).fileName()));
    if (!reading.mapping) {
        return firstError(reading.problems);
    }
    setMapping(*reading.mapping);
    return Done{};
}

Result<Done> TakeInSession::saveMapping(const QString& path) const {
    return writeAtomically(pathOf(path), mappingText(mapping_));
}

bool TakeInSession::isReady() const {
    return !tables_->empty() && isTried_ && !hasError(trial_.problems) && !hasError(trial_.draws.problems);
}

void TakeInSession::takeIn(const QString& folder) {
    taking_.start([this, folder, tables = tables_,
                   mapping = mapping_](const Progress& progress) -> LatestRun::Delivery {
        const auto tell = [&progress](double share) { return progress(0.9 * share, "taking in"); };
        TakenIn taken = aftercurve::takeIn(*tables, mapping, {}, tell);
        if (taken.stopped) {
            return [] {};
        }
        if (!taken.study) {
            return [this, problems = std::move(taken.problems)] { Q_EMIT takeInFailed(problems); };
        }
        const Result<Done> written = writeNewStudy(pathOf(folder), *taken.study);
        if (!written) {
            return [this, problem = written.problem()] { Q_EMIT takeInFailed({problem}); };
        }
        return [this, folder, problems = std::move(taken.problems)] { Q_EMIT takenIn(folder, problems); };
    });
}

}  // namespace aftercurve
