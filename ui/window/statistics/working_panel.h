#pragma once

#include <QWidget>
#include <memory>

#include "core/findings/table.h"

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

  Q_SIGNALS:
    /// The reader wants to see the curves that the number was made from.
    void curvesWanted(const aftercurve::RowSubject& about);

  private:
    void showCell(const ResultView* view);

    std::shared_ptr<const Results> results_;
    ResultView* followed_ = nullptr;
    QLabel* head_ = nullptr;
    QPlainTextEdit* words_;
    QPushButton* curves_;
    QPushButton* copy_;
    RowSubject about_;
};

}  // namespace aftercurve
