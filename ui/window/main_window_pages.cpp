#include <QStackedWidget>
#include <QStatusBar>

#include "ui/window/figures/figures_page.h"
#include "ui/window/main_window.h"
#include "ui/window/pages/comparisons_page.h"
#include "ui/window/pages/curves_page.h"
#include "ui/window/pages/data_page.h"
#include "ui/window/pages/exclusions_page.h"
#include "ui/window/pages/history_page.h"
#include "ui/window/pages/measures_page.h"
#include "ui/window/pages/planning_page.h"
#include "ui/window/pages/problems_page.h"
#include "ui/window/pages/samples_page.h"
#include "ui/window/pages/study_page.h"
#include "ui/window/pages/words_page.h"
#include "ui/window/result_view.h"
#include "ui/window/statistics/page_tabs.h"
#include "ui/window/statistics/working_panel.h"

namespace aftercurve {

void MainWindow::buildPages() {
    about_ = new StudyPage(*session_, pages_);
    samples_ = new SamplesPage(*session_, pages_);
    problems_ = new ProblemsPage(*session_, pages_);
    history_ = new HistoryPage(*session_, pages_);
    curves_ = new CurvesPage(*session_, pages_);
    planning_ = new PlanningPage(*session_, setup_, pages_);
    auto* measures = new PageTabs(*session_, QStringLiteral("measures"), tr("Kinds of measures"), pages_);
    measures->add(new MeasuresPage(*session_, measures->holder()), QStringLiteral("measures"),
                  tr("Each curve"));
    measures->add(measureViews());
    auto* statistics =
        new PageTabs(*session_, QStringLiteral("statistics"), tr("Kinds of statistics"), pages_);
    statistics->add(new ComparisonsPage(*session_, statistics->holder()), QStringLiteral("paired"),
                    tr("Paired"));
    statistics->add(statisticsViews());
    auto* index =
        new PageTabs(*session_, QStringLiteral("indices"), tr("The index and what it rests on"), pages_);
    index->add(indexViews());
    auto* laboratory =
        new PageTabs(*session_, QStringLiteral("laboratory"), tr("Digestion, fibre and recipes"), pages_);
    laboratoryData_ =
        new DataPage(*session_, QStringLiteral("laboratoryData"), laboratoryTables(), laboratory->holder());
    laboratory->add(laboratoryData_, laboratoryDataTab, tr("Data"));
    laboratory->add(laboratoryViews());
    auto* tolerance = new PageTabs(*session_, QStringLiteral("tolerance"), tr("Symptoms and events"), pages_);
    diaryData_ = new DataPage(*session_, QStringLiteral("diaryData"), diaryTables(), tolerance->holder());
    tolerance->add(diaryData_, diaryDataTab, tr("Data"));
    tolerance->add(toleranceViews());
    auto* evidence =
        new PageTabs(*session_, QStringLiteral("evidences"), tr("Evidence and portions"), pages_);
    evidence->add(evidenceViews());
    auto* words = new WordsPage(*session_, evidence->holder());
    evidence->add(words, QStringLiteral("words"), tr("Words"));
    connect(words, &WordsPage::rowWanted, this, &MainWindow::showTableRow);
    connect(words, &WordsPage::copied, this,
            [this] { statusBar()->showMessage(tr("Methods and results copied"), noticeMs); });
    tabs_ = {{Step::measures, measures},     {Step::comparisons, statistics}, {Step::index, index},
             {Step::laboratory, laboratory}, {Step::tolerance, tolerance},    {Step::evidence, evidence}};
    figures_ = new FiguresPage(*session_, setup_, pages_);
    // In the order of Step.
    const std::initializer_list<Page*> pages{about_,   samples_,   new ExclusionsPage(*session_, pages_),
                                             curves_,  measures,   statistics,
                                             index,    laboratory, tolerance,
                                             evidence, figures_,   problems_,
                                             history_, planning_};
    for (Page* page : pages) {
        pages_->addWidget(page);
    }
    const auto showHistory = [this](const LedgerPlace& place) {
        history_->showHistoryOf(place);
        setStep(Step::history);
    };
    for (const auto& [step, tabs] : std::as_const(tabs_)) {
        connect(tabs, &PageTabs::tabChanged, this, &MainWindow::updateActions);
    }
    for (ResultView* view : pages_->findChildren<ResultView*>()) {
        connect(view, &ResultView::curvesWanted, this, &MainWindow::showCurvesOf);
    }
    for (WorkingPanel* panel : pages_->findChildren<WorkingPanel*>()) {
        connect(panel, &WorkingPanel::curvesWanted, this, &MainWindow::showCurvesOf);
    }
    connect(figures_, &FiguresPage::choiceChanged, this, &MainWindow::updateActions);
    connect(figures_, &FiguresPage::told, this,
            [this](const QString& what) { statusBar()->showMessage(what, noticeMs); });
    connect(planning_, &PlanningPage::backWanted, this, [this] { views_->setCurrentWidget(start_); });
    connect(planning_, &PlanningPage::figureChanged, this, &MainWindow::updateActions);
    connect(about_, &StudyPage::historyWanted, this, showHistory);
    connect(samples_, &SamplesPage::historyWanted, this, showHistory);
    connect(laboratoryData_, &DataPage::historyWanted, this, showHistory);
    connect(diaryData_, &DataPage::historyWanted, this, showHistory);
}

bool MainWindow::showTab(const QString& name) {
    for (const auto& [step, tabs] : std::as_const(tabs_)) {
        if (tabs->showTab(name)) {
            setStep(step);
            return true;
        }
    }
    return false;
}

QStringList MainWindow::tabNames() const {
    QStringList names;
    for (const auto& [step, tabs] : tabs_) {
        names << tabs->tabNames();
    }
    return names;
}

void MainWindow::showCurvesOf(const RowSubject& about) {
    curves_->showCurvesOf(about);
    setStep(Step::curves);
}

}  // namespace aftercurve
