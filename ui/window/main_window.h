#pragma once

#include <QMainWindow>
#include <QTimer>
#include <utility>

#include "core/findings/table.h"
#include "ui/window/session.h"
#include "ui/window/step_bar.h"
#include "ui/window/window_setup.h"

class QAction;
class QMenu;
class QProgressBar;
class QPushButton;
class QStackedWidget;

namespace aftercurve {

class FigureView;
class FiguresPage;
class HistoryPage;
class NoticeBar;
class CurvesPage;
class DataPage;
class Page;
class PageTabs;
class PlanningPage;
class PlanSentence;
class ProblemsPage;
class ReadFailurePage;
class SamplesPage;
class StartPage;
class StudyPage;

/// The program's window: the plan as a sentence on top, the steps under it, the page of the current step
/// below.
class MainWindow : public QMainWindow {
    Q_OBJECT

  public:
    explicit MainWindow(WindowSetup setup, QWidget* parent = nullptr);
    ~MainWindow() override;

    /// Asks to save first where the plan was changed.
    void openStudy(const QString& path);
    /// Opens the window in which a laboratory's files are taken in; without files it asks for some.
    void takeInFiles(const QStringList& files = {});
    /// Opens the window in which the readings of a sensor are cut into curves.
    void cutSensorReadings();
    /// The page for planning, also where no study is open.
    void showPlanning();
    void setStep(Step step);
    /// Shows the tab of that name, and the step that it is a part of; false where there is none.
    bool showTab(const QString& name);
    /// The tabs of all steps, by name.
    QStringList tabNames() const;
    Session& session() { return *session_; }
    Page& page(Step step);

  protected:
    void closeEvent(QCloseEvent* event) override;
    void dragEnterEvent(QDragEnterEvent* event) override;
    void dragLeaveEvent(QDragLeaveEvent* event) override;
    void dropEvent(QDropEvent* event) override;

  private:
    void buildPages();
    void buildStudyView();
    void buildFooter();
    void buildMenus();
    QAction* addAction(QMenu& menu, const QString& text, const QKeySequence& keys, const char* name,
                       const std::function<void()>& run);

    bool mayLoseChanges();
    void save();
    bool saveNow();
    bool showSaved(const Result<Done>& saved);
    void saveCopy();
    void buildNotices();
    void showSafetyNotices();
    void showChangedOnDisk(const QStringList& files);
    void showExclusionsNotice();
    void tellFailure(const char* name, const QString& title, const Problem& problem);
    void askForStudy();
    void rememberStudy(const QString& folder);
    void fillRecent();
    void showStudy();
    void showFailure(const QString& folder, const std::vector<Problem>& problems);
    void showTitle();
    void showStatus();
    void showBusy();
    void goToProblem(const Problem& problem);
    void showCurvesOf(const RowSubject& about);
    void showTableRow(const QString& table, int row);

    Page& currentPage();
    bool onFigures() const;
    void updateActions();
    void exportFigure();
    void exportTable();
    void exportReport();
    void makeBundle();
    void verifyBundle();
    void copyFigureShown();
    void copyTableShown();
    void copyMethods();
    void resizeText(double ratio);
    void about();

    static constexpr int noticeMs = 6000;  ///< how long a message stands in the status bar

    WindowSetup setup_;
    Session* session_;
    QStackedWidget* views_ = nullptr;  ///< start, study, failure
    StartPage* start_ = nullptr;
    ReadFailurePage* failure_ = nullptr;
    QWidget* study_ = nullptr;
    PlanSentence* sentence_ = nullptr;
    StepBar* steps_ = nullptr;
    QProgressBar* progress_ = nullptr;
    QPushButton* cancel_ = nullptr;
    QTimer slow_;  ///< work that takes longer than this is shown
    NoticeBar* notices_ = nullptr;
    QStackedWidget* pages_ = nullptr;
    StudyPage* about_ = nullptr;
    SamplesPage* samples_ = nullptr;
    HistoryPage* history_ = nullptr;
    CurvesPage* curves_ = nullptr;
    QList<std::pair<Step, PageTabs*>> tabs_;
    FiguresPage* figures_ = nullptr;
    PlanningPage* planning_ = nullptr;
    ProblemsPage* problems_ = nullptr;
    QMenu* recent_ = nullptr;
    QAction* saveAction_ = nullptr;
    QAction* saveCopyAction_ = nullptr;
    QAction* bundleAction_ = nullptr;
    QList<QAction*> figureActions_;
    QList<QAction*> tableActions_;
    QAction* methodsAction_ = nullptr;
    double textScale_ = 1.0;
    QAction* reportAction_ = nullptr;
    DataPage* laboratoryData_ = nullptr;
    DataPage* diaryData_ = nullptr;
};

}  // namespace aftercurve
