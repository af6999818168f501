#pragma once

#include <QAbstractButton>
#include <QList>
#include <QWidget>

class QButtonGroup;

namespace aftercurve {

/// Steps of the work, in order of the work; planning comes before a study and stands apart, at the left.
enum class Step {
    study,
    samples,
    exclusions,
    curves,
    measures,
    comparisons,
    index,
    evidence,
    problems,
    history,
    planning
};
constexpr int stepCount = 11;

QString nameOf(Step step);
/// Word of the command line: "samples", "curves", ...
QString stepWord(Step step);
/// Its keys: Ctrl+1 to Ctrl+9 in the order of the work, Ctrl+0 for planning, Ctrl+H for the history.
QString stepKeys(Step step);

/// One step: its point on the line, its name, and one line that says where it stands.
class StepButton : public QAbstractButton {
    Q_OBJECT

  public:
    StepButton(Step step, QWidget* parent);

    void setStatus(const QString& status, int changed);
    const QString& status() const { return status_; }
    int changed() const { return changed_; }
    /// Where the point is drawn.
    QPointF point() const;

    QSize sizeHint() const override;
    QSize minimumSizeHint() const override;

  protected:
    void paintEvent(QPaintEvent* event) override;
    bool event(QEvent* event) override;

  private:
    Step step_;
    QString status_;
    int changed_ = 0;
};

/// The steps side by side, on a line that rises and falls back as a curve after a meal does.
class StepBar : public QWidget {
    Q_OBJECT

  public:
    explicit StepBar(QWidget* parent = nullptr);

    Step current() const;
    void setCurrent(Step step);
    /// Steps of a study can only be chosen while one is open.
    void setStudyOpen(bool open);
    StepButton& button(Step step) { return *buttons_[static_cast<int>(step)]; }

  Q_SIGNALS:
    void chosen(aftercurve::Step step);

  protected:
    void paintEvent(QPaintEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;

  private:
    QButtonGroup* group_;
    QList<StepButton*> buttons_;
};

}  // namespace aftercurve
