#pragma once

#include <QList>

#include "ui/window/pages/page.h"

class QStackedWidget;
class QTabBar;

namespace aftercurve {

/// The step "Comparisons": paired comparisons first, then the further statistics, a tab each.
class StatisticsTabs : public Page {
    Q_OBJECT

  public:
    explicit StatisticsTabs(Session& session, QWidget* parent = nullptr);

    FigureView* figure() override { return currentPage().figure(); }
    ResultView* table() override { return currentPage().table(); }

    /// "paired", "model", ...; does nothing where there is no such tab.
    void showTab(const QString& name);
    QStringList tabNames() const { return names_; }

  Q_SIGNALS:
    void tabChanged();

  private:
    Page& currentPage();
    void add(Page* page, const QString& name, const QString& title);

    QTabBar* bar_;
    QStackedWidget* pages_;
    QStringList names_;
};

}  // namespace aftercurve
