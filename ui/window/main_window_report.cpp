#include <QDir>
#include <QFileInfo>
#include <QStatusBar>

#include "ui/window/main_window.h"
#include "ui/window/report_dialog.h"

namespace aftercurve {

void MainWindow::exportReport() {
    if (session_->isModified()) {
        Problem problem;
        problem.what = "the study has changes that are not saved";
        problem.remedy = "save them first: a report names the SHA-256 of the files as they are on disk";
        tellFailure("reportFailure", tr("No report was written"), problem);
        return;
    }
    const QString folder =
        setup_.settings->value(QStringLiteral("lastExportFolder"), QDir::homePath()).toString();
    const QString name = QFileInfo(session_->folder()).fileName() + QStringLiteral("-report");
    auto* dialog = new ReportDialog(session_->results(), QDir(folder).filePath(name), this);
    connect(dialog, &ReportDialog::written, this, [this](const QString& path) {
        setup_.settings->setValue(QStringLiteral("lastExportFolder"), QFileInfo(path).absolutePath());
        statusBar()->showMessage(tr("Written: %1").arg(QDir::toNativeSeparators(path)), noticeMs);
    });
    dialog->open();
}

}  // namespace aftercurve
