#include "ui/window/edit/study_guard.h"

#include <QDateTime>
#include <QJsonDocument>
#include <QJsonObject>
#include <algorithm>

#include "core/edit/unsaved_changes.h"
#include "core/files/changed_on_disk.h"
#include "ui/models/text.h"

namespace aftercurve {

namespace {

constexpr int settleMs = 400;  // a program writes a file in several steps

std::string now() {
    return plain(QDateTime::currentDateTimeUtc().toString(Qt::ISODate));
}

std::string logged(const Change& change, const Authorship& author) {
    QJsonObject entry;
    entry.insert(QStringLiteral("by"), author.by);
    entry.insert(QStringLiteral("why"), author.why);
    entry.insert(QStringLiteral("change"), shown(changeJson(change)));
    return QJsonDocument(entry).toJson(QJsonDocument::Compact).toStdString();
}

}  // namespace

std::vector<LoggedChange> loggedChanges(const Recovery& recovery, std::optional<Problem>& problem) {
    std::vector<LoggedChange> list;
    for (const std::string& text : recovery.edits) {
        const QJsonObject entry = QJsonDocument::fromJson(QByteArray::fromStdString(text)).object();
        Result<Change> change = changeFrom(plain(entry.value(QStringLiteral("change")).toString()));
        if (!change) {
            problem = change.problem();
            break;
        }
        list.push_back(
            {std::move(change).value(),
             {entry.value(QStringLiteral("by")).toString(), entry.value(QStringLiteral("why")).toString()}});
    }
    return list;
}

StudyGuard::StudyGuard(std::filesystem::path folder, std::vector<InputFile> inputs, QObject* parent)
    : QObject(parent), folder_(std::move(folder)), inputs_(std::move(inputs)) {
    LockAnswer answer = lockFolder(folder_, "aftercurve", now());
    if (answer.lock) {
        lock_ = std::move(answer.lock);
        if (Result<std::optional<Recovery>> found = readRecovery(folder_); found) {
            recovery_ = std::move(found).value();
        } else {
            Problem problem = found.problem();
            QMetaObject::invokeMethod(
                this, [this, problem] { Q_EMIT logFailed(problem); }, Qt::QueuedConnection);
            logFailed_ = true;
        }
    } else {
        readOnlyBecause_ = answer.problem ? shown(answer.problem->what) : tr("the folder cannot be locked");
    }
    settle_.setSingleShot(true);
    settle_.setInterval(settleMs);
    connect(&watcher_, &QFileSystemWatcher::fileChanged, &settle_, qOverload<>(&QTimer::start));
    connect(&watcher_, &QFileSystemWatcher::directoryChanged, &settle_, qOverload<>(&QTimer::start));
    connect(&settle_, &QTimer::timeout, this, &StudyGuard::look);
    watch();
}

void StudyGuard::watch() {
    QStringList paths{shown(folder_.string())};
    for (const InputFile& input : inputs_) {
        paths << shown((folder_ / input.file).string());
    }
    watcher_.addPaths(paths);
}

void StudyGuard::look() {
    QStringList files;
    for (const ChangedFile& file : filesChanged(folder_, inputs_)) {
        files << shown(file.file);
    }
    // A file that was replaced is no longer watched.
    watch();
    if (!files.isEmpty()) {
        Q_EMIT changedOnDisk(files);
    }
}

bool StudyGuard::recoveryFits() const {
    return recovery_ && recovery_->changed.empty();
}

void StudyGuard::discardRecovery() {
    recovery_.reset();
    if (const Result<Done> done = aftercurve::discardRecovery(folder_); !done) {
        Q_EMIT logFailed(done.problem());
    }
}

void StudyGuard::resumeRecovery() {
    Result<RecoveryLog> log = RecoveryLog::resume(folder_);
    recovery_.reset();
    if (log) {
        log_ = std::move(log).value();
    } else {
        Q_EMIT logFailed(log.problem());
    }
}

void StudyGuard::note(const Change& change, const Authorship& author) {
    if (!lock_ || logFailed_ || recovery_) {
        return;
    }
    const auto fail = [this](const Problem& problem) {
        logFailed_ = true;
        Q_EMIT logFailed(problem);
    };
    if (!log_) {
        Result<RecoveryLog> log = RecoveryLog::start(folder_, {plain(author.by), now(), inputs_});
        if (!log) {
            fail(log.problem());
            return;
        }
        log_ = std::move(log).value();
    }
    if (const Result<Done> done = log_->append(logged(change, author)); !done) {
        fail(done.problem());
    }
}

void StudyGuard::settle(std::vector<InputFile> inputs) {
    log_.reset();
    logFailed_ = false;
    inputs_ = std::move(inputs);
    if (lock_) {
        if (const Result<Done> done = aftercurve::discardRecovery(folder_); !done) {
            Q_EMIT logFailed(done.problem());
        }
    }
    watch();
}

}  // namespace aftercurve
