#include <QDir>
#include <QFileInfo>
#include <QStatusBar>

#include "ui/window/main_window.h"
#include "ui/window/make_bundle_dialog.h"
#include "ui/window/verify_bundle_dialog.h"

namespace aftercurve {

void MainWindow::makeBundle() {
    if (session_->isModified()) {
        Problem problem;
        problem.what = "the study has changes that are not saved";
        problem.remedy = "save them first: a bundle holds the files as they are on disk";
        tellFailure("bundleFailure", tr("No bundle was made"), problem);
        return;
    }
    const QString study = session_->folder();
    const QString folder =
        setup_.settings->value(QStringLiteral("lastExportFolder"), QDir::homePath()).toString();
    const QString name = QFileInfo(study).fileName() + QStringLiteral("-bundle.zip");
    auto* dialog = new MakeBundleDialog(study, QDir(folder).filePath(name), setup_.askFile, this);
    connect(dialog, &MakeBundleDialog::written, this, [this](const QString& path) {
        setup_.settings->setValue(QStringLiteral("lastExportFolder"), QFileInfo(path).absolutePath());
        statusBar()->showMessage(tr("Written: %1").arg(QDir::toNativeSeparators(path)), noticeMs);
    });
    dialog->open();
}

void MainWindow::verifyBundle() {
    auto* dialog = new VerifyBundleDialog(this);
    dialog->open();
}

}  // namespace aftercurve
