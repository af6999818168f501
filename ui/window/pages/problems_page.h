#pragma once

#include <optional>

#include "ui/models/problems_model.h"
#include "ui/window/pages/page.h"

class QLineEdit;
class QPushButton;
class QTableView;

namespace aftercurve {

class ProblemsFilter;

/// The table of problems, as the problems page and the failure page show it. Texts wrap: they must be read
/// whole.
class ProblemsView : public QWidget {
    Q_OBJECT

  public:
    /// `name` is the stem of the object names: "problems" gives problems.view and problems.severity.
    ProblemsView(const QString& name, QWidget* parent);

    void setProblems(const std::vector<Problem>& problems);
    QTableView& view() { return *view_; }
    /// The problem in the current row; empty where there is none.
    std::optional<Problem> current() const;
    /// Adds a widget at the end of the filter's row.
    void addControl(QWidget* control);

  Q_SIGNALS:
    void activated(const aftercurve::Problem& problem);
    void currentChanged();

  protected:
    bool eventFilter(QObject* watched, QEvent* event) override;

  private:
    void filter();
    void fit();
    void go(const QModelIndex& index);

    ProblemsModel* model_;
    ProblemsFilter* order_;
    Chooser* severity_;
    QLineEdit* text_;
    QWidget* controls_;
    QTableView* view_;
};

class ProblemsPage : public Page {
    Q_OBJECT

  public:
    explicit ProblemsPage(Session& session, QWidget* parent = nullptr);

    /// Says where a problem lies that no row of the samples stands for.
    void explain(const Problem& problem);

  Q_SIGNALS:
    void activated(const aftercurve::Problem& problem);

  private:
    void showProblems();
    void showButtons();
    void accept();
    void takeAcceptanceBack();
    void convert();

    ProblemsView* problems_;
    QPushButton* accept_;
    QPushButton* back_;
    QPushButton* convert_;
    QLabel* where_;
};

}  // namespace aftercurve
