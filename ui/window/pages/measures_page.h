#pragma once

#include "ui/window/pages/page.h"

namespace aftercurve {

/// The measures of every curve and their summary by food; beside them the curve that the chosen row comes
/// from.
class MeasuresPage : public Page {
    Q_OBJECT

  public:
    explicit MeasuresPage(Session& session, QWidget* parent = nullptr);

    FigureView* figure() override { return figure_; }
    ResultView* table() override;

  private:
    void showResults();
    void filter();
    void showCurve(int row);

    Chooser* analyte_;
    ResultView* measures_;
    ResultView* summary_;
    QLabel* caption_;
    FigureView* figure_;
};

}  // namespace aftercurve
