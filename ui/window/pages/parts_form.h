#pragma once

#include <QWidget>

#include "ui/window/session.h"

class QPushButton;
class QTableWidget;

namespace aftercurve {

class Chooser;
class EditBar;

/// The parts of a mixed meal: carbohydrate and index of each, for the index that they predict.
class PartsForm : public QWidget {
    Q_OBJECT

  public:
    PartsForm(Session& session, QWidget* parent);

  private:
    void showStudy();
    void showFood();
    void addRow(const MealPart& part);
    void readTable();
    std::size_t food() const;

    Session& session_;
    Chooser* foods_;
    EditBar* bar_;
    QTableWidget* table_;
    QPushButton* add_;
    QPushButton* remove_;
    bool filling_ = false;
};

}  // namespace aftercurve
