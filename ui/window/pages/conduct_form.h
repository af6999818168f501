#pragma once

#include <QWidget>
#include <vector>

#include "ui/window/session.h"

class QComboBox;
class QLineEdit;

namespace aftercurve {

class EditBar;

/// How the study was run, as its people state it: a field for each fact. Facts left empty are reported as not
/// stated.
class ConductForm : public QWidget {
    Q_OBJECT

  public:
    ConductForm(Session& session, QWidget* parent);

  private:
    void showStudy();
    void readForm();

    Session& session_;
    EditBar* bar_;
    std::vector<QLineEdit*> texts_;  ///< by conductFields(); null where it is a choice
    std::vector<QComboBox*> yesNo_;  ///< likewise
    bool filling_ = false;
};

}  // namespace aftercurve
