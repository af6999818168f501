#include "ui/window/statistics/page_tabs.h"

#include <QStackedWidget>
#include <QTabBar>
#include <QVBoxLayout>

#include "ui/window/statistics/statistics_page.h"

namespace aftercurve {

PageTabs::PageTabs(Session& session, const QString& name, const QString& accessibleName, QWidget* parent)
    : Page(session, parent), bar_(new QTabBar(this)), pages_(new QStackedWidget(this)) {
    const int em = fontMetrics().height();
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, em / 4, 0, 0);
    column->setSpacing(0);
    bar_->setObjectName(name + QStringLiteral(".tabs"));
    bar_->setAccessibleName(accessibleName);
    bar_->setExpanding(false);
    bar_->setDrawBase(true);
    bar_->setUsesScrollButtons(true);
    bar_->setElideMode(Qt::ElideNone);
    column->addWidget(bar_);
    column->addWidget(pages_, 1);
    connect(bar_, &QTabBar::currentChanged, this, [this](int tab) {
        pages_->setCurrentIndex(tab);
        Q_EMIT tabChanged();
    });
}

QWidget* PageTabs::holder() const {
    return pages_;
}

void PageTabs::add(Page* page, const QString& name, const QString& title) {
    names_ << name;
    pages_->addWidget(page);
    bar_->addTab(title);
}

void PageTabs::add(std::vector<StatisticsView> views) {
    for (StatisticsView& view : views) {
        const QString name = view.name;
        const QString title = view.title;
        auto* page = new StatisticsPage(session_, std::move(view), pages_);
        add(page, name, title);
        connect(page, &StatisticsPage::tabWanted, this, &PageTabs::showTab);
    }
}

Page& PageTabs::currentPage() {
    return *static_cast<Page*>(pages_->currentWidget());
}

bool PageTabs::showTab(const QString& name) {
    const qsizetype tab = names_.indexOf(name);
    if (tab >= 0) {
        bar_->setCurrentIndex(static_cast<int>(tab));
    }
    return tab >= 0;
}

bool PageTabs::showTabOf(const QWidget* inside) {
    for (int tab = 0; tab < pages_->count(); ++tab) {
        if (pages_->widget(tab)->isAncestorOf(inside)) {
            bar_->setCurrentIndex(tab);
            return true;
        }
    }
    return false;
}

}  // namespace aftercurve
