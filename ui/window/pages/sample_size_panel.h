#pragma once

#include <QFutureWatcher>
#include <QWidget>
#include <memory>
#include <vector>

#include "core/planning/earlier_study.h"
#include "core/planning/power.h"

class QCheckBox;
class QComboBox;
class QLabel;
class QLineEdit;
class QPushButton;

namespace aftercurve {

class FieldReading;
class FigureView;
class PlanningForm;
class Session;
struct Results;
struct WindowSetup;

/// A scatter of an earlier study and how it is said.
struct OfferedSpread {
    EarlierSpread spread;
    QString sentence;
};

/// What reading an earlier study gave: scatters, or why there are none.
struct OfferedSpreads {
    std::vector<OfferedSpread> list;
    QString failure;
};

/// The question, the numbers put in, and how many subjects it takes: as a sentence and as a figure.
class SampleSizePanel : public QWidget {
    Q_OBJECT

  public:
    SampleSizePanel(Session& session, const WindowSetup& setup, QWidget* parent);
    ~SampleSizePanel() override;

    FigureView& figure() { return *figure_; }

  Q_SIGNALS:
    void answered();

  private:
    void buildForm();
    void buildEarlier();
    void showRows();
    void answer();
    PlanningQuestion question(FieldReading& read) const;
    void takeEarlierStudy();
    void takeOpenStudy();
    void offer(const OfferedSpreads& offered);
    void takeSpread(int index);

    Session& session_;
    const WindowSetup& setup_;
    PlanningForm* form_;
    QComboBox* kind_;
    QComboBox* scale_;
    QComboBox* better_;
    QComboBox* spreadKind_;
    QCheckBox* periods_;
    QLineEdit* difference_ = nullptr;
    QLineEdit* foods_ = nullptr;
    QLineEdit* range_ = nullptr;
    QLineEdit* low_ = nullptr;
    QLineEdit* high_ = nullptr;
    QLineEdit* limit_ = nullptr;
    QLineEdit* expected_ = nullptr;
    QLineEdit* halfWidth_ = nullptr;
    QLineEdit* assurance_ = nullptr;
    QLineEdit* spread_ = nullptr;
    QLineEdit* mean_ = nullptr;
    QLineEdit* unit_ = nullptr;
    QLineEdit* comparisons_ = nullptr;
    QLineEdit* alpha_ = nullptr;
    QLineEdit* power_ = nullptr;
    QLineEdit* dropout_ = nullptr;
    QLineEdit* multiple_ = nullptr;
    QLineEdit* n_ = nullptr;
    QWidget* earlierRow_;
    QPushButton* earlier_;
    QPushButton* openStudy_;
    QComboBox* offeredBox_;
    QLabel* earlierText_;
    QLabel* answer_;
    QLabel* forN_;
    QPushButton* copy_;
    FigureView* figure_;
    std::vector<OfferedSpread> offered_;
    std::shared_ptr<const Results> noStudy_;
    QFutureWatcher<OfferedSpreads> reading_;
    int lastKind_ = -1;
};

}  // namespace aftercurve
