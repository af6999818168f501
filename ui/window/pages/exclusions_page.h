#pragma once

#include "ui/window/pages/page.h"

class QLabel;
class QPushButton;
class QRadioButton;

namespace aftercurve {

/// What is excluded and why, what difference it makes, and a switch that shows every result as if nothing
/// were excluded.
class ExclusionsPage : public Page {
    Q_OBJECT

  public:
    explicit ExclusionsPage(Session& session, QWidget* parent = nullptr);

    ResultView* table() override { return list_; }

  private:
    void showResults();
    void showChoice();
    void countAgain();

    ResultView* list_;
    ResultView* effect_;
    QLabel* about_;
    QRadioButton* with_;
    QRadioButton* without_;
    QPushButton* again_;
    EmptyNotice* none_;
    QWidget* full_;
};

}  // namespace aftercurve
