#pragma once

#include "ui/window/pages/page.h"

class QPushButton;

namespace aftercurve {

class RandomisationPanel;
class SampleSizePanel;
struct WindowSetup;

/// Planning, which comes before a study: how many subjects, and who eats what when. Needs no open study.
class PlanningPage : public Page {
    Q_OBJECT

  public:
    /// `setup` outlives the page.
    PlanningPage(Session& session, const WindowSetup& setup, QWidget* parent);

    FigureView* figure() override;
    /// Where none is open there is a way back to the start.
    void setStudyOpen(bool open);

  Q_SIGNALS:
    void backWanted();
    void figureChanged();

  private:
    SampleSizePanel* size_;
    RandomisationPanel* order_;
    QPushButton* back_;
};

}  // namespace aftercurve
