#pragma once

#include "core/findings/table.h"
#include "ui/figures/figure.h"
#include "ui/window/pages/page.h"

class QButtonGroup;

namespace aftercurve {

/// The curves themselves, in three views.
class CurvesPage : public Page {
    Q_OBJECT

  public:
    explicit CurvesPage(Session& session, QWidget* parent = nullptr);

    FigureView* figure() override { return figure_; }
    /// The curves that a row of results was made from: one subject's, or those of a food.
    void showCurvesOf(const RowSubject& about);

  private:
    void fill();
    void fillVisits();
    void fillPages(const FigureChoice& choice);
    void redraw();

    QButtonGroup* views_;
    Chooser* analyte_;
    Chooser* subject_;
    Chooser* food_;
    Chooser* visit_;
    Chooser* page_;  ///< of many subjects
    FigureView* figure_;
};

}  // namespace aftercurve
