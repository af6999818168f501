#pragma once

#include "ui/window/pages/page.h"

class QStackedLayout;

namespace aftercurve {

/// The index of each food; for the row chosen, each subject's value; beside it the figure.
class IndexPage : public Page {
    Q_OBJECT

  public:
    explicit IndexPage(Session& session, QWidget* parent = nullptr);

    FigureView* figure() override { return figure_; }
    ResultView* table() override;

  private:
    void showResults();
    void showFood(int row);

    QStackedLayout* stack_;
    EmptyNotice* empty_;
    ResultView* index_;
    QLabel* sentence_;
    ResultView* subjects_;
    FigureView* figure_;
};

}  // namespace aftercurve
