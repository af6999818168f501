#include "ui/window/pages/planning_page.h"

#include <QPushButton>
#include <QTabWidget>
#include <QVBoxLayout>

#include "ui/window/pages/randomisation_panel.h"
#include "ui/window/pages/sample_size_panel.h"

namespace aftercurve {

PlanningPage::PlanningPage(Session& session, const WindowSetup& setup, QWidget* parent)
    : Page(session, parent),
      size_(new SampleSizePanel(session, setup, this)),
      order_(new RandomisationPanel(session, setup, this)),
      back_(new QPushButton(tr("Back to the start"), this)) {
    setObjectName(QStringLiteral("planningPage"));
    auto* column = pageColumn(this);
    auto* halves = new QTabWidget(this);
    halves->setObjectName(QStringLiteral("planning.halves"));
    halves->setAccessibleName(tr("Parts of the planning"));
    halves->setDocumentMode(true);
    halves->addTab(size_, tr("Number of subjects"));
    halves->addTab(order_, tr("Randomisation"));
    back_->setObjectName(QStringLiteral("planning.back"));
    halves->setCornerWidget(back_);
    column->addWidget(halves, 1);
    connect(back_, &QPushButton::clicked, this, &PlanningPage::backWanted);
    connect(size_, &SampleSizePanel::answered, this, &PlanningPage::figureChanged);
}

FigureView* PlanningPage::figure() {
    return size_->isVisible() ? &size_->figure() : nullptr;
}

void PlanningPage::setStudyOpen(bool open) {
    back_->setVisible(!open);
}

}  // namespace aftercurve
