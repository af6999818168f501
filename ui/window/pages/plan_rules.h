#pragma once

#include <QWidget>

#include "ui/window/session.h"

class QCheckBox;
class QComboBox;
class QDoubleSpinBox;

namespace aftercurve {

/// The parts of the plan that concern times and assays, as a form. The sentence on top holds the rest.
class PlanRules : public QWidget {
    Q_OBJECT

  public:
    PlanRules(Session& session, QWidget* parent);

  private:
    void showPlan();
    void readForm();

    Session& session_;
    QComboBox* timeBasis_;
    QDoubleSpinBox* tolerance_;
    QComboBox* belowLimit_;
    QDoubleSpinBox* duplicates_;
    QCheckBox* wholeBlood_;
    QCheckBox* washoutAsked_;
    QDoubleSpinBox* washout_;
    bool filling_ = false;
};

}  // namespace aftercurve
