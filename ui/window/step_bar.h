#pragma once

#include <QAbstractButton>
#include <QList>
#include <QWidget>

class QButtonGroup;
class QFrame;
class QHBoxLayout;

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
    laboratory,
    tolerance,
    evidence,
    figures,
    problems,
    history,
    planning
};
constexpr int stepCount = 14;

QString nameOf(Step step);
/// Word of the command line: "samples", "curves", ...
QString stepWord(Step step);
/// Its keys: Ctrl+1 to Ctrl+9 in the order of the work, but Ctrl+L in vitro, Ctrl+T for tolerance, Ctrl+G for
/// the figures, Ctrl+H for the history and Ctrl+0 for planning.
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

/// The steps side by side, on a line that rises and falls back as a curve after a meal does; in two rows
/// where the text is too large, or the window too narrow, for one.
class StepBar : public QWidget {
    Q_OBJECT

  public:
    explicit StepBar(QWidget* parent = nullptr);

    Step current() const;
    void setCurrent(Step step);
    /// Steps of a study can only be chosen while one is open.
    void setStudyOpen(bool open);
    StepButton& button(Step step) { return *buttons_[static_cast<int>(step)]; }
    /// Steps of the row at the bottom; 0 where one row holds all.
    int stepsBelow() const { return below_; }

    QSize minimumSizeHint() const override;

  Q_SIGNALS:
    void chosen(aftercurve::Step step);

  protected:
    void paintEvent(QPaintEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    void resizeEvent(QResizeEvent* event) override;
    bool event(QEvent* event) override;

  private:
    int widthOf(int first, int last) const;
    void arrange();

    QButtonGroup* group_;
    QList<StepButton*> buttons_;
    QFrame* apart_;
    QHBoxLayout* upper_;
    QHBoxLayout* lower_;
    int below_ = 0;
};

}  // namespace aftercurve
