#include <QAction>
#include <QClipboard>
#include <QDir>
#include <QFileInfo>
#include <QGuiApplication>
#include <QMenuBar>
#include <QMessageBox>
#include <QShortcut>
#include <QStackedWidget>
#include <QStatusBar>

#include "core/base/version.h"
#include "core/findings/narrative.h"
#include "ui/export/clipboard.h"
#include "ui/export/table_export.h"
#include "ui/models/text.h"
#include "ui/window/figure_view.h"
#include "ui/window/main_window.h"
#include "ui/window/pages/page.h"
#include "ui/window/result_view.h"
#include "ui/window/text_size.h"

namespace aftercurve {

QAction* MainWindow::addAction(QMenu& menu, const QString& text, const QKeySequence& keys, const char* name,
                               const std::function<void()>& run) {
    auto* action = new QAction(text, this);
    action->setObjectName(QLatin1String(name));
    action->setShortcut(keys);
    connect(action, &QAction::triggered, this, run);
    menu.addAction(action);
    return action;
}

void MainWindow::buildMenus() {
    QMenu& file = *menuBar()->addMenu(tr("&File"));
    addAction(file, tr("&Open study folder…"), QKeySequence::Open, "action.open", [this] { askForStudy(); });
    recent_ = file.addMenu(tr("Open &lately used"));
    recent_->setObjectName(QStringLiteral("menu.recent"));
    addAction(file, tr("&Take in a laboratory's files…"), QKeySequence(tr("Ctrl+I")), "action.takeIn",
              [this] { takeInFiles(); });
    addAction(file, tr("Cut senso&r readings into curves…"), {}, "action.cutSensor",
              [this] { cutSensorReadings(); });
    file.addSeparator();
    saveAction_ = addAction(file, tr("&Save"), QKeySequence::Save, "action.save", [this] { save(); });
    saveCopyAction_ =
        addAction(file, tr("Save a &copy…"), QKeySequence::SaveAs, "action.saveCopy", [this] { saveCopy(); });
    file.addSeparator();
    figureActions_ << addAction(file, tr("Export &figure…"), QKeySequence(tr("Ctrl+E")),
                                "action.exportFigure", [this] { exportFigure(); });
    tableActions_ << addAction(file, tr("Export &table…"), QKeySequence(tr("Ctrl+Shift+E")),
                               "action.exportTable", [this] { exportTable(); });
    reportAction_ = addAction(file, tr("Export re&port…"), QKeySequence(tr("Ctrl+Shift+R")),
                              "action.exportReport", [this] { exportReport(); });
    file.addSeparator();
    bundleAction_ = addAction(file, tr("Make a &bundle…"), {}, "action.makeBundle", [this] { makeBundle(); });
    addAction(file, tr("&Verify a bundle…"), {}, "action.verifyBundle", [this] { verifyBundle(); });
    file.addSeparator();
    addAction(file, tr("&Quit"), QKeySequence::Quit, "action.quit", [this] { close(); });

    QMenu& edit = *menuBar()->addMenu(tr("&Edit"));
    QAction* undo = session_->undoStack().createUndoAction(this, tr("&Undo"));
    undo->setShortcut(QKeySequence::Undo);
    undo->setObjectName(QStringLiteral("action.undo"));
    QAction* redo = session_->undoStack().createRedoAction(this, tr("&Redo"));
    redo->setShortcuts({QKeySequence(tr("Ctrl+Shift+Z")), QKeySequence(tr("Ctrl+Y"))});
    redo->setObjectName(QStringLiteral("action.redo"));
    edit.addActions({undo, redo});
    edit.addSeparator();
    figureActions_ << addAction(edit, tr("Copy f&igure"), QKeySequence(tr("Ctrl+Shift+I")),
                                "action.copyFigure", [this] { copyFigureShown(); });
    tableActions_ << addAction(edit, tr("Copy t&able"), QKeySequence(tr("Ctrl+Shift+C")), "action.copyTable",
                               [this] { copyTableShown(); });
    methodsAction_ = addAction(edit, tr("Copy &methods paragraph"), QKeySequence(tr("Ctrl+Shift+M")),
                               "action.copyMethods", [this] { copyMethods(); });

    QMenu& view = *menuBar()->addMenu(tr("&View"));
    for (int i = 0; i < stepCount; ++i) {
        const auto step = static_cast<Step>(i);
        addAction(view, nameOf(step), QKeySequence(stepKeys(step)),
                  qPrintable(QStringLiteral("action.") + stepWord(step)),
                  [this, step] { step == Step::planning ? showPlanning() : setStep(step); });
    }
    view.addSeparator();
    addAction(view, tr("&Larger text"), QKeySequence::ZoomIn, "action.larger", [this] { resizeText(1.1); });
    addAction(view, tr("S&maller text"), QKeySequence::ZoomOut, "action.smaller",
              [this] { resizeText(1.0 / 1.1); });

    QMenu& help = *menuBar()->addMenu(tr("&Help"));
    addAction(help, tr("&About Aftercurve"), {}, "action.about", [this] { about(); });

    auto* stop = new QShortcut(QKeySequence(Qt::Key_Escape), this);
    connect(stop, &QShortcut::activated, session_, &Session::cancel);
}

void MainWindow::updateActions() {
    const bool open = session_->hasStudy();
    saveAction_->setEnabled(open && session_->isModified());
    saveCopyAction_->setEnabled(open);
    bundleAction_->setEnabled(open);
    Page& page = currentPage();
    // The figure of the planning page needs no study.
    const bool planning = steps_->current() == Step::planning;
    const bool computed = open && session_->results() != nullptr;
    for (QAction* action : std::as_const(figureActions_)) {
        action->setEnabled((computed || planning) && page.figure() != nullptr);
    }
    for (QAction* action : std::as_const(tableActions_)) {
        action->setEnabled(computed && page.table() != nullptr);
    }
    reportAction_->setEnabled(computed);
    methodsAction_->setEnabled(computed);
}

void MainWindow::exportFigure() {
    FigureView* view = currentPage().figure();
    if (view == nullptr || !view->hasFigure()) {
        statusBar()->showMessage(tr("There is no figure here to export"), noticeMs);
        return;
    }
    auto* dialog = new ExportFigureDialog(view->kind(), view->choice(), view->results(), *setup_.settings,
                                          setup_.askFile, this);
    connect(dialog, &ExportFigureDialog::written, this, [this](const QString& path) {
        statusBar()->showMessage(tr("Written: %1").arg(QDir::toNativeSeparators(path)), noticeMs);
    });
    dialog->open();
}

void MainWindow::exportTable() {
    ResultView* view = currentPage().table();
    if (view == nullptr || view->source().table() == nullptr) {
        return;
    }
    const Table& table = *view->source().table();
    const QString folder =
        setup_.settings->value(QStringLiteral("lastExportFolder"), QDir::homePath()).toString();
    const QString path = setup_.askFile(
        this, QDir(folder).filePath(view->tableKey() + QStringLiteral(".csv")), tableFileFilter());
    if (path.isEmpty()) {
        return;
    }
    const Result<Done> done = writeTable(table, *session_->results()->study, path);
    if (!done) {
        auto* box = new QMessageBox(QMessageBox::Warning, tr("The table was not written"),
                                    shown(done.problem().what), QMessageBox::Ok, this);
        box->setInformativeText(shown(done.problem().remedy));
        box->setAttribute(Qt::WA_DeleteOnClose);
        box->open();
        return;
    }
    setup_.settings->setValue(QStringLiteral("lastExportFolder"), QFileInfo(path).absolutePath());
    statusBar()->showMessage(
        tr("Written: %1 (%2 rows)").arg(QDir::toNativeSeparators(path)).arg(table.rows.size()), noticeMs);
}

void MainWindow::copyFigureShown() {
    FigureView* view = currentPage().figure();
    if (view == nullptr || !view->hasFigure()) {
        statusBar()->showMessage(tr("There is no figure here to copy"), noticeMs);
        return;
    }
    const auto results = view->results();
    copyFigure(*QGuiApplication::clipboard(), view->kind(), *results->study, results->findings,
               view->choice(), {});
    statusBar()->showMessage(tr("Figure copied"), noticeMs);
}

void MainWindow::copyTableShown() {
    ResultView* view = currentPage().table();
    if (view != nullptr && view->source().table() != nullptr) {
        copyTable(*QGuiApplication::clipboard(), *view->source().table());
        statusBar()->showMessage(tr("Table copied (%1 rows)").arg(view->source().table()->rows.size()),
                                 noticeMs);
    }
}

void MainWindow::copyMethods() {
    const auto results = session_->results();
    QGuiApplication::clipboard()->setText(shown(methodsParagraph(*results->study, results->findings)));
    statusBar()->showMessage(tr("Methods paragraph copied"), noticeMs);
}

void MainWindow::resizeText(double ratio) {
    const double scale = textScale_ * ratio;
    if (scale < 0.5 || scale > 3.0) {
        return;
    }
    textScale_ = scale;
    scaleText(*this, ratio);
    setup_.settings->setValue(QStringLiteral("textScale"), textScale_);
}

void MainWindow::about() {
    auto* box = new QMessageBox(this);
    box->setObjectName(QStringLiteral("about"));
    box->setAttribute(Qt::WA_DeleteOnClose);
    box->setWindowTitle(tr("About Aftercurve"));
    box->setText(tr("Aftercurve %1 (revision %2)").arg(shown(versionText()), shown(revisionText())));
    box->setInformativeText(tr("What a food does to blood glucose and insulin: areas under the curve, peaks, "
                               "paired comparisons and index.\n\n"
                               "For research use; not for diagnosis, treatment or dosing. A study in people "
                               "needs ethics approval and medical "
                               "oversight; readings that are low or high need a clinician's look.\n\nFree "
                               "software; the licence stands in the file "
                               "LICENSE. Built with Qt %1.")
                                .arg(QLatin1String(qVersion())));
    box->setStandardButtons(QMessageBox::Close);
    box->open();
}

}  // namespace aftercurve
