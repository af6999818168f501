#pragma once

#include <QDialog>
#include <QTimer>
#include <functional>

#include "ui/window/sensor/sensor_session.h"

class QCheckBox;
class QComboBox;
class QCustomPlot;
class QFormLayout;
class QLabel;
class QLineEdit;
class QListWidget;
class QProgressBar;
class QPushButton;
class QSpinBox;

namespace aftercurve {

class NumberBox;
class ProblemsView;

/// What the dialog asks of the outside; a test gives answers instead of dialogs.
struct SensorAsks {
    /// A file of readings, or of meals; empty: the reader changed his mind.
    std::function<QString(QWidget* parent, bool meals)> file;
    /// A folder for the study that is not there yet, beside `suggestion`.
    std::function<QString(QWidget* parent, const QString& suggestion)> folder;
};

/// Fills the questions that are empty with dialogs.
SensorAsks withSensorDialogs(SensorAsks asks);

/// Cuts the readings of a sensor into curves: two files, how to smooth and to cut, a look at each meal, and a
/// study folder at the end. Nothing is written before a person says so.
class SensorDialog : public QDialog {
    Q_OBJECT

  public:
    explicit SensorDialog(SensorAsks asks, QWidget* parent = nullptr);

    void openFiles(const QString& readings, const QString& meals);
    SensorSession& session() { return *session_; }

  Q_SIGNALS:
    /// The study was written; it is to be opened.
    void studyWritten(const QString& folder);

  protected:
    void resizeEvent(QResizeEvent* event) override;

  private:
    void build();
    QWidget* buildLeft();
    QWidget* buildRight();
    QWidget* buildFoot();
    QLineEdit* addFile(QFormLayout& form, const QString& label, const char* name, bool meals);
    NumberBox* addMinutes(QFormLayout& form, const QString& label, const char* name, double value, double low,
                          double high);
    void connectSession();
    SensorRequest wanted() const;
    void filesChanged();
    void optionsChanged();
    void ask();
    void showCut();
    void fillMeals();
    void showMeal();
    void showState();
    void makeStudy();

    SensorAsks asks_;
    SensorSession* session_;
    QTimer rest_;  ///< options are taken up once typing rests
    bool readAgain_ = true;
    QString failure_;  ///< why the last writing failed
    QLineEdit* readings_ = nullptr;
    QLineEdit* meals_ = nullptr;
    QComboBox* unit_ = nullptr;
    QComboBox* dateOrder_ = nullptr;
    QComboBox* smooth_ = nullptr;
    QSpinBox* window_ = nullptr;
    NumberBox* bandwidth_ = nullptr;
    NumberBox* before_ = nullptr;
    NumberBox* after_ = nullptr;
    NumberBox* gap_ = nullptr;
    QCheckBox* leaveOutGaps_ = nullptr;
    QCheckBox* leaveOutShortened_ = nullptr;
    QComboBox* subject_ = nullptr;
    QListWidget* list_ = nullptr;
    QCustomPlot* plot_ = nullptr;
    QLabel* words_ = nullptr;
    ProblemsView* problems_ = nullptr;
    QLabel* state_ = nullptr;
    QProgressBar* progress_ = nullptr;
    QComboBox* reference_ = nullptr;
    QLineEdit* title_ = nullptr;
    QPushButton* go_ = nullptr;
    QPushButton* stop_ = nullptr;
};

}  // namespace aftercurve
