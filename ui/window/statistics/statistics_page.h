#pragma once

#include "ui/window/pages/page.h"
#include "ui/window/statistics/statistics_view.h"

class QButtonGroup;
class QStackedLayout;
class QTabWidget;

namespace aftercurve {

class SettingControls;
class WorkingPanel;

/// One tab of the statistics: the table on top; below it words and the working of the chosen number at the
/// left, figures and the values behind the row at the right.
class StatisticsPage : public Page {
    Q_OBJECT

  public:
    StatisticsPage(Session& session, StatisticsView view, QWidget* parent);

    FigureView* figure() override;
    ResultView* table() override;
    const StatisticsView& view() const { return view_; }

  Q_SIGNALS:
    /// The reader wants another tab of the step.
    void tabWanted(const QString& name);

  private:
    QWidget* settingsPart();
    void showSettings();
    QWidget* leftSide(QWidget* parent);
    QWidget* rightSide(QWidget* parent);
    void showResults();
    void showRow(int row);
    void showFigure(int row);

    StatisticsView view_;
    QStackedLayout* stack_;
    QWidget* settings_ = nullptr;  ///< with who and why
    QLabel* settingsNote_ = nullptr;
    EmptyNotice* empty_;
    QPushButton* enterData_ = nullptr;
    ResultView* table_;
    ResultView* detail_ = nullptr;
    QLabel* sentence_;
    WorkingPanel* working_;
    QButtonGroup* choices_ = nullptr;  ///< of what stands at the right
    QStackedLayout* right_ = nullptr;
    FigureView* figure_ = nullptr;
};

}  // namespace aftercurve
