#pragma once

#include <QList>
#include <vector>

#include "ui/window/pages/page.h"
#include "ui/window/statistics/statistics_view.h"

class QStackedWidget;
class QTabBar;

namespace aftercurve {

/// A step with several pages, a tab each.
class PageTabs : public Page {
    Q_OBJECT

  public:
    /// `name` is the stem of the tab bar's object name: "statistics" gives statistics.tabs.
    PageTabs(Session& session, const QString& name, const QString& accessibleName, QWidget* parent);

    void add(Page* page, const QString& name, const QString& title);
    void add(std::vector<StatisticsView> views);

    FigureView* figure() override { return currentPage().figure(); }
    ResultView* table() override { return currentPage().table(); }

    /// "paired", "model", ...; false where there is no such tab.
    bool showTab(const QString& name);
    QStringList tabNames() const { return names_; }
    /// Shows the tab that `inside` is a part of; false where it is of none.
    bool showTabOf(const QWidget* inside);
    /// What new pages are children of.
    QWidget* holder() const;

  Q_SIGNALS:
    void tabChanged();

  private:
    Page& currentPage();

    QTabBar* bar_;
    QStackedWidget* pages_;
    QStringList names_;
};

}  // namespace aftercurve
