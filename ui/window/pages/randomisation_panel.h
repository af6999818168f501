#pragma once

#include <QWidget>
#include <optional>

#include "core/planning/schedule.h"

class QCheckBox;
class QComboBox;
class QLabel;
class QLineEdit;
class QPlainTextEdit;
class QPushButton;
class QTableView;

namespace aftercurve {

class PlanningForm;
class ResultTableModel;
class Session;
struct WindowSetup;

/// Foods, subjects, design and seed; the schedule that they give; saving it; checking another one.
class RandomisationPanel : public QWidget {
    Q_OBJECT

  public:
    RandomisationPanel(Session& session, const WindowSetup& setup, QWidget* parent);

  private:
    void buildForm();
    void draw();
    ScheduleOptions options(QString& fault) const;
    void showSchedule();
    void save();
    void checkFile();
    void takeFoods();

    Session& session_;
    const WindowSetup& setup_;
    PlanningForm* form_;
    QLineEdit* foods_ = nullptr;
    QLineEdit* subjects_ = nullptr;
    QLineEdit* strata_ = nullptr;
    QComboBox* design_;
    QLineEdit* block_ = nullptr;
    QLineEdit* seed_ = nullptr;
    QLineEdit* prefix_ = nullptr;
    QCheckBox* sealed_;
    QPushButton* ofStudy_;
    QPushButton* save_;
    QPushButton* check_;
    QLabel* words_;
    QTableView* view_;
    ResultTableModel* table_;
    QPlainTextEdit* balance_;
    std::optional<Schedule> schedule_;
};

}  // namespace aftercurve
