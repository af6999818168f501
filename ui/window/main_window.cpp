#include "ui/window/main_window.h"

#include <QCloseEvent>
#include <QDir>
#include <QFileInfo>
#include <QLabel>
#include <QMenu>
#include <QMimeData>
#include <QProgressBar>
#include <QPushButton>
#include <QStackedWidget>
#include <QStatusBar>
#include <QVBoxLayout>

#include "core/base/version.h"
#include "ui/models/text.h"
#include "ui/window/figures/figures_page.h"
#include "ui/window/notice_bar.h"
#include "ui/window/pages/data_page.h"
#include "ui/window/pages/planning_page.h"
#include "ui/window/pages/problems_page.h"
#include "ui/window/pages/samples_page.h"
#include "ui/window/pages/study_page.h"
#include "ui/window/plan_sentence.h"
#include "ui/window/result_view.h"
#include "ui/window/statistics/page_tabs.h"
#include "ui/window/statistics/statistics_view.h"
#include "ui/window/step_status.h"
#include "ui/window/text_size.h"

namespace aftercurve {

namespace {

constexpr int slowAfterMs = 300;
constexpr int recentStudies = 8;

QString recentKey() {
    return QStringLiteral("recentStudies");
}

/// The study folder that a drop brings; empty where it brings none.
QString studyIn(const QMimeData& data) {
    for (const QUrl& url : data.urls()) {
        const QFileInfo info(url.toLocalFile());
        if (info.isDir() || info.fileName() == QStringLiteral("study.json")) {
            return info.absoluteFilePath();
        }
    }
    return {};
}

/// The laboratory's files that a drop brings.
QStringList filesIn(const QMimeData& data) {
    QStringList files;
    for (const QUrl& url : data.urls()) {
        const QFileInfo info(url.toLocalFile());
        if (info.isFile() && info.fileName() != QStringLiteral("study.json")) {
            files << info.absoluteFilePath();
        }
    }
    return files;
}

}  // namespace

MainWindow::MainWindow(WindowSetup setup, QWidget* parent)
    : QMainWindow(parent), setup_(withDialogs(std::move(setup))), session_(new Session(this)) {
    setObjectName(QStringLiteral("mainWindow"));
    setAcceptDrops(true);
    views_ = new QStackedWidget(this);
    start_ = new StartPage(setup_.samples, views_);
    failure_ = new ReadFailurePage(views_);
    study_ = new QWidget(views_);
    for (QWidget* view : {static_cast<QWidget*>(start_), study_, static_cast<QWidget*>(failure_)}) {
        views_->addWidget(view);
    }
    progress_ = new QProgressBar(this);
    progress_->setObjectName(QStringLiteral("progress"));
    progress_->setAccessibleName(tr("Progress"));
    progress_->setTextVisible(false);
    progress_->setRange(0, 1000);
    progress_->setFixedHeight(4);
    QSizePolicy keepsItsPlace = progress_->sizePolicy();
    keepsItsPlace.setRetainSizeWhenHidden(true);
    progress_->setSizePolicy(keepsItsPlace);
    auto* whole = new QWidget(this);
    auto* column = new QVBoxLayout(whole);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(0);
    column->addWidget(progress_);
    column->addWidget(views_, 1);
    setCentralWidget(whole);

    buildStudyView();
    buildFooter();
    buildMenus();

    slow_.setSingleShot(true);
    slow_.setInterval(slowAfterMs);
    connect(&slow_, &QTimer::timeout, this, &MainWindow::showBusy);
    connect(session_, &Session::busyChanged, this, [this](bool busy) {
        if (busy && !slow_.isActive() && !cancel_->isVisible()) {
            slow_.start();
        } else if (!busy) {
            slow_.stop();
            showBusy();
        }
        showStatus();
    });
    connect(session_, &Session::progressed, this, [this](double fraction) {
        progress_->setValue(static_cast<int>(fraction * progress_->maximum()));
    });
    connect(session_, &Session::studyOpened, this, &MainWindow::showStudy);
    connect(session_, &Session::studyEdited, this, &MainWindow::showStatus);
    connect(session_, &Session::figuresRested, this, &MainWindow::showStatus);
    connect(session_, &Session::planChanged, this, [this] {
        showExclusionsNotice();
        showStatus();
    });
    connect(session_, &Session::readFailed, this, &MainWindow::showFailure);
    connect(session_, &Session::resultsChanged, this, &MainWindow::showStatus);
    connect(session_, &Session::marksChanged, this, &MainWindow::showStatus);
    connect(session_, &Session::modifiedChanged, this, &MainWindow::showTitle);
    connect(start_, &StartPage::openWanted, this, &MainWindow::askForStudy);
    connect(start_, &StartPage::takeInWanted, this, [this] { takeInFiles(); });
    connect(start_, &StartPage::planWanted, this, &MainWindow::showPlanning);
    connect(start_, &StartPage::studyWanted, this, &MainWindow::openStudy);
    connect(failure_, &ReadFailurePage::again, this, &MainWindow::openStudy);
    connect(failure_, &ReadFailurePage::back, this,
            [this] { views_->setCurrentWidget(session_->hasStudy() ? study_ : start_); });
    fillRecent();
    showTitle();
    showBusy();
    updateActions();
    const int em = fontMetrics().height();
    setMinimumSize(em * 40, em * 28);
    resize(1240, 800);
    restoreGeometry(setup_.settings->value(QStringLiteral("windowGeometry")).toByteArray());
    const double scale = setup_.settings->value(QStringLiteral("textScale"), 1.0).toDouble();
    if (scale >= 0.5 && scale <= 3.0 && scale != 1.0) {
        resizeText(scale);
    }
}

MainWindow::~MainWindow() {
    // The window is hidden and its children are deleted after its own members are gone.
    session_->disconnect(this);
}

void MainWindow::buildStudyView() {
    auto* column = new QVBoxLayout(study_);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(0);
    sentence_ = new PlanSentence(*session_, study_);
    steps_ = new StepBar(study_);
    pages_ = new QStackedWidget(study_);
    column->addWidget(sentence_);
    notices_ = new NoticeBar(study_);
    column->addWidget(steps_);
    column->addWidget(notices_);
    column->addWidget(pages_, 1);
    buildPages();
    buildNotices();
    connect(steps_, &StepBar::chosen, this, [this](Step step) {
        pages_->setCurrentIndex(static_cast<int>(step));
        updateActions();
    });
    connect(problems_, &ProblemsPage::activated, this, &MainWindow::goToProblem);
}

void MainWindow::buildFooter() {
    auto* caution = new QLabel(tr("For research use; not for diagnosis, treatment or dosing."), this);
    caution->setObjectName(QStringLiteral("footer.caution"));
    cancel_ = new QPushButton(tr("Stop"), this);
    cancel_->setObjectName(QStringLiteral("progress.cancel"));
    cancel_->setAccessibleName(tr("Stop reading or computing"));
    cancel_->setToolTip(tr("Esc"));
    auto* version = new QLabel(tr("Aftercurve %1").arg(shown(versionText())), this);
    statusBar()->setSizeGripEnabled(false);
    const int side = fontMetrics().height() - 4;
    statusBar()->setContentsMargins(side, 0, side, 0);
    statusBar()->addWidget(caution);
    statusBar()->addPermanentWidget(cancel_);
    statusBar()->addPermanentWidget(version);
    connect(cancel_, &QPushButton::clicked, session_, &Session::cancel);
}

Page& MainWindow::page(Step step) {
    return *static_cast<Page*>(pages_->widget(static_cast<int>(step)));
}

Page& MainWindow::currentPage() {
    return page(steps_->current());
}

void MainWindow::showPlanning() {
    const bool open = session_->hasStudy();
    sentence_->setVisible(open);
    steps_->setStudyOpen(open);
    planning_->setStudyOpen(open);
    showStatus();
    setStep(Step::planning);
    views_->setCurrentWidget(study_);
    updateActions();
}

void MainWindow::setStep(Step step) {
    steps_->setCurrent(step);
}

void MainWindow::openStudy(const QString& path) {
    if (mayLoseChanges()) {
        session_->open(path);
    }
}

void MainWindow::askForStudy() {
    const QString folder =
        setup_.askFolder(this, setup_.settings->value(QStringLiteral("lastStudyFolder")).toString());
    if (!folder.isEmpty()) {
        openStudy(folder);
    }
}

bool MainWindow::mayLoseChanges() {
    if (!session_->isModified()) {
        return true;
    }
    switch (setup_.askToSave(this, session_->title())) {
        case SaveAnswer::save:
            return saveNow();
        case SaveAnswer::discard:
            session_->abandonChanges();
            return true;
        case SaveAnswer::cancel:
            return false;
    }
    return false;
}

void MainWindow::rememberStudy(const QString& folder) {
    QStringList folders = setup_.settings->value(recentKey()).toStringList();
    folders.removeAll(folder);
    folders.prepend(folder);
    setup_.settings->setValue(recentKey(), QStringList(folders.mid(0, recentStudies)));
    setup_.settings->setValue(QStringLiteral("lastStudyFolder"), QFileInfo(folder).absolutePath());
    fillRecent();
}

void MainWindow::fillRecent() {
    const QStringList folders = setup_.settings->value(recentKey()).toStringList();
    start_->setRecent(folders);
    recent_->clear();
    recent_->setEnabled(!folders.isEmpty());
    for (const QString& folder : folders) {
        QAction* action = recent_->addAction(QDir::toNativeSeparators(folder));
        connect(action, &QAction::triggered, this, [this, folder] { openStudy(folder); });
    }
}

void MainWindow::showStudy() {
    // The first study after planning without one is shown, not the planning.
    const bool wasWithout = !steps_->button(Step::study).isEnabled();
    sentence_->setVisible(true);
    steps_->setStudyOpen(true);
    planning_->setStudyOpen(true);
    if (wasWithout && steps_->current() == Step::planning) {
        setStep(Step::study);
    }
    views_->setCurrentWidget(study_);
    rememberStudy(session_->folder());
    // Not into the sentence: a key pressed at once should not change the plan.
    pages_->setFocus();
    notices_->clear();
    showSafetyNotices();
    showTitle();
    showStatus();
}

void MainWindow::showFailure(const QString& folder, const std::vector<Problem>& problems) {
    failure_->showFailure(folder, problems, session_->title());
    views_->setCurrentWidget(failure_);
}

void MainWindow::showTitle() {
    setWindowModified(session_->isModified());
    const QString study = session_->title();
    setWindowTitle(study.isEmpty() ? tr("Aftercurve") : tr("%1[*] – Aftercurve").arg(study));
    updateActions();
}

void MainWindow::showStatus() {
    for (int i = 0; i < stepCount; ++i) {
        const auto step = static_cast<Step>(i);
        steps_->button(step).setStatus(statusOf(step, *session_), changedIn(step, *session_));
    }
    updateActions();
}

void MainWindow::showBusy() {
    const bool show = session_->isBusy() && !slow_.isActive();
    if (!show) {
        progress_->setValue(0);
    }
    progress_->setVisible(show);
    cancel_->setVisible(show);
}

void MainWindow::goToProblem(const Problem& problem) {
    if (laboratoryData_->goTo(problem)) {
        showTab(laboratoryDataTab);
    } else if (diaryData_->goTo(problem)) {
        showTab(diaryDataTab);
    } else if (about_->goTo(problem)) {
        setStep(Step::study);
    } else if (samples_->goTo(problem)) {
        setStep(Step::samples);
    } else {
        problems_->explain(problem);
    }
}

void MainWindow::showTableRow(const QString& table, int row) {
    ResultView* found = nullptr;
    QModelIndex at;
    for (ResultView* view : pages_->findChildren<ResultView*>()) {
        // A table of details holds the rows of its chosen row alone; the one that shows this row is meant.
        if (view->tableKey() == table && !at.isValid()) {
            at = view->selectTableRow(row);
            found = at.isValid() || found == nullptr ? view : found;
        }
    }
    if (found == nullptr) {
        statusBar()->showMessage(tr("This table stands in the files and the report, not in the window"),
                                 noticeMs);
        return;
    }
    for (int page = 0; page < pages_->count(); ++page) {
        if (pages_->widget(page)->isAncestorOf(found)) {
            setStep(static_cast<Step>(page));
        }
    }
    for (const auto& [step, tabs] : std::as_const(tabs_)) {
        tabs->showTabOf(found);
    }
    found->setFocus();
    if (at.isValid()) {
        found->scrollTo(at);
    } else {
        statusBar()->showMessage(tr("The row is not among those that the table shows now"), noticeMs);
    }
}

void MainWindow::closeEvent(QCloseEvent* event) {
    if (!mayLoseChanges()) {
        event->ignore();
        return;
    }
    setup_.settings->setValue(QStringLiteral("windowGeometry"), saveGeometry());
    event->accept();
}

void MainWindow::dragEnterEvent(QDragEnterEvent* event) {
    if (!studyIn(*event->mimeData()).isEmpty() || !filesIn(*event->mimeData()).isEmpty()) {
        event->acceptProposedAction();
        start_->setDropping(true);
    }
}

void MainWindow::dragLeaveEvent(QDragLeaveEvent*) {
    start_->setDropping(false);
}

void MainWindow::dropEvent(QDropEvent* event) {
    start_->setDropping(false);
    const QString folder = studyIn(*event->mimeData());
    if (!folder.isEmpty()) {
        event->acceptProposedAction();
        openStudy(folder);
    } else if (const QStringList files = filesIn(*event->mimeData()); !files.isEmpty()) {
        event->acceptProposedAction();
        takeInFiles(files);
    }
}

}  // namespace aftercurve
