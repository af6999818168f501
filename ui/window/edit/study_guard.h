#pragma once

#include <QFileSystemWatcher>
#include <QObject>
#include <QStringList>
#include <QTimer>
#include <filesystem>
#include <memory>
#include <optional>
#include <vector>

#include "core/edit/edit.h"
#include "core/files/folder_lock.h"
#include "core/files/recovery_log.h"
#include "ui/window/edit/journal.h"

namespace aftercurve {

/// A change as the log of unsaved changes holds it.
struct LoggedChange {
    Change change;
    Authorship author;
};

/// Reads the log's entries; what cannot be read ends the list, with a problem.
std::vector<LoggedChange> loggedChanges(const Recovery& recovery, std::optional<Problem>& problem);

/// What keeps one open study folder safe: the lock against a second window, the log of unsaved changes, and
/// an eye on the files. One for each folder that is open.
class StudyGuard : public QObject {
    Q_OBJECT

  public:
    /// Locks the folder and begins to watch. `inputs` are the files as read.
    StudyGuard(std::filesystem::path folder, std::vector<InputFile> inputs, QObject* parent = nullptr);

    /// Why the study may only be looked at; empty: it may be edited.
    QString readOnlyBecause() const { return readOnlyBecause_; }

    /// Changes that a program which ended early left behind; empty where there are none.
    const std::optional<Recovery>& recovery() const { return recovery_; }
    /// Whether the files are still as they were when those changes were made.
    bool recoveryFits() const;
    /// Forgets what was left behind.
    void discardRecovery();
    /// Goes on with the log after its changes were taken in again.
    void resumeRecovery();

    /// Puts a change into the log, on disk at once. Says once where that cannot be done.
    void note(const Change& change, const Authorship& author);
    /// The changes are saved, or given up: the log goes, the files as they are now are the ones to watch.
    void settle(std::vector<InputFile> inputs);

  Q_SIGNALS:
    /// Files that another program changed or removed while the study is open.
    void changedOnDisk(const QStringList& files);
    /// The log cannot be written.
    void logFailed(const aftercurve::Problem& problem);

  private:
    void watch();
    void look();

    std::filesystem::path folder_;
    std::vector<InputFile> inputs_;
    std::optional<FolderLock> lock_;
    QString readOnlyBecause_;
    std::optional<Recovery> recovery_;
    std::optional<RecoveryLog> log_;
    bool logFailed_ = false;
    QFileSystemWatcher watcher_;
    QTimer settle_;
};

}  // namespace aftercurve
