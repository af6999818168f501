#pragma once

#include "ui/window/pages/page.h"

class QButtonGroup;
class QStackedLayout;

namespace aftercurve {

class WorkingPanel;

/// Each food against the comparator: the table, and for the row chosen the words, the pairs and a figure.
class ComparisonsPage : public Page {
    Q_OBJECT

  public:
    explicit ComparisonsPage(Session& session, QWidget* parent = nullptr);

    FigureView* figure() override;
    ResultView* table() override;

  private:
    void showResults();
    void showComparison(int row);

    QStackedLayout* stack_;
    EmptyNotice* empty_;
    ResultView* comparisons_;
    QLabel* sentence_;
    ResultView* pairs_;
    QButtonGroup* views_;
    QStackedLayout* right_;
    FigureView* figure_;
    WorkingPanel* working_;
};

}  // namespace aftercurve
