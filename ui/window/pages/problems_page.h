#pragma once

#include "ui/models/problems_model.h"
#include "ui/window/pages/page.h"

class QSortFilterProxyModel;
class QTableView;

namespace aftercurve {

/// The table of problems, as the problems page and the failure page show it. Texts wrap: they must be read
/// whole.
class ProblemsView : public QWidget {
    Q_OBJECT

  public:
    explicit ProblemsView(QWidget* parent);

    void setProblems(const std::vector<Problem>& problems);
    QTableView& view() { return *view_; }

  Q_SIGNALS:
    void activated(const aftercurve::Problem& problem);

  protected:
    void resizeEvent(QResizeEvent* event) override;
    bool eventFilter(QObject* watched, QEvent* event) override;

  private:
    void filter();
    void fit();
    void go(const QModelIndex& index);

    ProblemsModel* model_;
    QSortFilterProxyModel* order_;
    Chooser* severity_;
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

    ProblemsView* problems_;
    QLabel* where_;
};

}  // namespace aftercurve
