#include "ui/window/statistics/statistics_tabs.h"

#include <QStackedWidget>
#include <QTabBar>
#include <QVBoxLayout>

#include "ui/window/pages/comparisons_page.h"
#include "ui/window/statistics/statistics_page.h"

namespace aftercurve {

StatisticsTabs::StatisticsTabs(Session& session, QWidget* parent)
    : Page(session, parent), bar_(new QTabBar(this)), pages_(new QStackedWidget(this)) {
    const int em = fontMetrics().height();
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, em / 4, 0, 0);
    column->setSpacing(0);
    bar_->setObjectName(QStringLiteral("statistics.tabs"));
    bar_->setAccessibleName(tr("Kinds of statistics"));
    bar_->setExpanding(false);
    bar_->setDrawBase(true);
    bar_->setUsesScrollButtons(true);
    bar_->setElideMode(Qt::ElideNone);
    column->addWidget(bar_);
    column->addWidget(pages_, 1);
    add(new ComparisonsPage(session, pages_), QStringLiteral("paired"), tr("Paired"));
    for (StatisticsView& view : statisticsViews()) {
        const QString name = view.name;
        const QString title = view.title;
        add(new StatisticsPage(session, std::move(view), pages_), name, title);
    }
    connect(bar_, &QTabBar::currentChanged, this, [this](int tab) {
        pages_->setCurrentIndex(tab);
        Q_EMIT tabChanged();
    });
}

void StatisticsTabs::add(Page* page, const QString& name, const QString& title) {
    names_ << name;
    bar_->addTab(title);
    pages_->addWidget(page);
}

Page& StatisticsTabs::currentPage() {
    return *static_cast<Page*>(pages_->currentWidget());
}

void StatisticsTabs::showTab(const QString& name) {
    const qsizetype tab = names_.indexOf(name);
    if (tab >= 0) {
        bar_->setCurrentIndex(static_cast<int>(tab));
    }
}

}  // namespace aftercurve
