#pragma once

#include <QWidget>
#include <memory>

class QLabel;
class QPlainTextEdit;
class QPushButton;

namespace aftercurve {

class ResultView;
struct Results;

/// How the number in the chosen cell of a table came about: formula, inputs, degrees of freedom; as text to
/// copy.
class WorkingPanel : public QWidget {
    Q_OBJECT

  public:
    explicit WorkingPanel(const QString& name, QWidget* parent);

    /// Follows the chosen cell of a table.
    void follow(ResultView* view);
    void showResults(std::shared_ptr<const Results> results);
    QString text() const;

  private:
    void showCell(const ResultView* view);

    std::shared_ptr<const Results> results_;
    ResultView* followed_ = nullptr;
    QPlainTextEdit* words_;
    QPushButton* copy_;
};

}  // namespace aftercurve
