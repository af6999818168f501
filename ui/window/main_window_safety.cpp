#include <QDir>
#include <QFileInfo>
#include <QMenuBar>
#include <QMessageBox>
#include <QStatusBar>
#include <filesystem>

#include "core/edit/save_study.h"
#include "ui/models/text.h"
#include "ui/window/main_window.h"
#include "ui/window/notice_bar.h"
#include "ui/window/pages/page.h"
#include "ui/window/sensor/sensor_dialog.h"

namespace aftercurve {

namespace {

constexpr std::size_t drawsSavedAtOnce = 20'000;

}  // namespace

void MainWindow::tellFailure(const char* name, const QString& title, const Problem& problem) {
    auto* box = new QMessageBox(QMessageBox::Warning, title, asSentence(shown(problem.what)) + u'.',
                                QMessageBox::Ok, this);
    box->setObjectName(QLatin1String(name));
    const QString remedy = shown(problem.remedy);
    box->setInformativeText(remedy.isEmpty() ? QString() : asSentence(remedy) + u'.');
    box->setAttribute(Qt::WA_DeleteOnClose);
    box->open();
}

bool MainWindow::showSaved(const Result<Done>& saved) {
    if (!saved) {
        tellFailure("saveFailure", tr("The study was not saved"), saved.problem());
        return false;
    }
    notices_->take(QStringLiteral("changedOnDisk"));
    statusBar()->showMessage(tr("Saved in %1").arg(QDir::toNativeSeparators(session_->folder())), noticeMs);
    return true;
}

bool MainWindow::saveNow() {
    return showSaved(session_->save());
}

void MainWindow::save() {
    if (session_->study()->draws.size() <= drawsSavedAtOnce) {
        saveNow();
        return;
    }
    // What is saved is the study as it stands, so nothing changes it meanwhile.
    study_->setEnabled(false);
    menuBar()->setEnabled(false);
    session_->startSaving([this](const Result<Done>& saved) {
        study_->setEnabled(true);
        menuBar()->setEnabled(true);
        showSaved(saved);
    });
}

void MainWindow::saveCopy() {
    const QString folder =
        setup_.askFolder(this, setup_.settings->value(QStringLiteral("lastStudyFolder")).toString());
    if (folder.isEmpty()) {
        return;
    }
    Study copy = *session_->study();
    copy.plan = session_->plan();
    const Result<Done> done = writeNewStudy(std::filesystem::path(folder.toStdU16String()), copy);
    if (!done) {
        tellFailure("saveFailure", tr("The copy was not written"), done.problem());
        return;
    }
    session_->abandonChanges();
    session_->open(folder);
}

void MainWindow::takeInFiles(const QStringList& files) {
    auto* window = new TakeInWindow(setup_.takeIn, this);
    connect(window, &TakeInWindow::studyWritten, this, &MainWindow::openStudy);
    window->open();
    QStringList chosen = files.isEmpty() ? setup_.takeIn.files(window) : files;
    if (!chosen.isEmpty()) {
        window->openFiles(chosen);
    }
}

void MainWindow::cutSensorReadings() {
    auto* window = new SensorDialog(setup_.sensor, this);
    connect(window, &SensorDialog::studyWritten, this, &MainWindow::openStudy);
    window->open();
}

void MainWindow::buildNotices() {
    connect(session_, &Session::changedOnDisk, this, &MainWindow::showChangedOnDisk);
    connect(session_, &Session::safetyFailed, this, [this](const Problem& problem) {
        notices_->tell(
            QStringLiteral("safety"), Severity::error,
            tr("Unsaved changes are not kept against a crash: %1. Save often.").arg(shown(problem.what)));
    });
    session_->setAuthorship({setup_.settings->value(QStringLiteral("author")).toString(), {}});
    connect(session_, &Session::authorshipChanged, this,
            [this] { setup_.settings->setValue(QStringLiteral("author"), session_->authorship().by); });
}

void MainWindow::showSafetyNotices() {
    if (const QString why = session_->readOnlyBecause(); !why.isEmpty()) {
        notices_->tell(QStringLiteral("readOnly"), Severity::warning,
                       tr("The study can be looked at, not changed: %1.").arg(why),
                       {{tr("Save a copy…"), QStringLiteral("notice.saveCopy"), [this] { saveCopy(); }}});
    }
    const Recovery* left = session_->leftBehind();
    if (left == nullptr) {
        return;
    }
    const QString since = shown(left->base.since).left(16).replace(u'T', u' ');
    const QString who = left->base.by.empty() ? tr("somebody") : shown(left->base.by);
    const QString changes =
        counted(static_cast<qsizetype>(left->edits.size()), tr("%1 change"), tr("%1 changes"));
    const NoticeAction drop{tr("Drop"), QStringLiteral("notice.dropLeft"),
                            [this] { session_->dropLeftBehind(); }};
    if (!left->changed.empty()) {
        notices_->tell(QStringLiteral("leftBehind"), Severity::warning,
                       tr("%1, made by %2 since %3 UTC, not saved; and the files have changed since, so that "
                          "nothing of it can be made again.")
                           .arg(changes, who, since),
                       {drop});
        return;
    }
    notices_->tell(
        QStringLiteral("leftBehind"), Severity::warning,
        tr("%1, made by %2 since %3 UTC, not saved when the program ended.").arg(changes, who, since),
        {{tr("Take up again"), QStringLiteral("notice.takeUp"),
          [this] {
              if (const Result<Done> done = session_->takeUpLeftBehind(); !done) {
                  tellFailure("takeUpFailure", tr("Not every change could be made again"), done.problem());
              }
          }},
         drop});
}

void MainWindow::showChangedOnDisk(const QStringList& files) {
    notices_->tell(
        QStringLiteral("changedOnDisk"), Severity::warning,
        tr("Another program changed %1. What is shown here is the study as it was read; it cannot be "
           "saved over the change.")
            .arg(files.join(QStringLiteral(", "))),
        {{tr("Read again"), QStringLiteral("notice.readAgain"),
          [this] {
              if (mayLoseChanges()) {
                  session_->open(session_->folder());
              }
          }},
         {tr("Save a copy…"), QStringLiteral("notice.saveCopyOfChanged"), [this] { saveCopy(); }}});
}

void MainWindow::showExclusionsNotice() {
    if (!session_->exclusionsIgnored()) {
        notices_->take(QStringLiteral("exclusions"));
    } else if (notices_->textOf(QStringLiteral("exclusions")).isEmpty()) {
        notices_->tell(QStringLiteral("exclusions"), Severity::warning,
                       tr("All results are shown as if nothing were excluded."),
                       {{tr("Leave out what is excluded"), QStringLiteral("notice.exclude"),
                         [this] { session_->ignoreExclusions(false); }}});
    }
}

}  // namespace aftercurve
