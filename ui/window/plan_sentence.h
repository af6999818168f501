#pragma once

#include <QTimer>
#include <QWidget>

class QLabel;
class QPushButton;

namespace aftercurve {

class FlowLayout;
class NumberBox;
class Session;
class WordChoice;
class WordMenu;
enum class PlanPart;
struct Plan;

/// The plan of the analysis as one sentence to read, with a control at each word that can be chosen, and
/// below it what is wrong with the plan or what changed because of it.
class PlanSentence : public QWidget {
    Q_OBJECT

  public:
    explicit PlanSentence(Session& session, QWidget* parent = nullptr);

  private:
    void build();
    QLabel* clause(const QString& words, QWidget* control, const QString& after, const QString& name);
    WordChoice* choice(const char* objectName);
    void fillChoices();
    void fillFurtherMeasures();
    void showPlan();
    void showMessage();
    void showMarks();
    void edit(PlanPart part, const Plan& plan);
    void takeNumbers();

    Session& session_;
    bool filling_ = false;  ///< the controls are being set from the plan, not by the reader
    FlowLayout* words_ = nullptr;
    WordChoice* measure_ = nullptr;
    WordMenu* further_ = nullptr;
    NumberBox* windowEnd_ = nullptr;
    WordChoice* baseline_ = nullptr;
    WordChoice* gaps_ = nullptr;
    WordChoice* comparator_ = nullptr;
    NumberBox* alpha_ = nullptr;
    WordChoice* multiplicity_ = nullptr;
    WordChoice* index_ = nullptr;
    QLabel* message_ = nullptr;
    QPushButton* computeAgain_ = nullptr;
    QWidget* marksRow_ = nullptr;
    QLabel* marksChip_ = nullptr;
    QPushButton* clearMarks_ = nullptr;
    QTimer settle_;  ///< a number being typed counts when the keys rest
};

}  // namespace aftercurve
