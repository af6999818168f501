#include "ui/window/figures/figure_list_panel.h"

#include <QGridLayout>
#include <QLabel>
#include <QListWidget>
#include <QMenu>
#include <QPushButton>
#include <QSignalBlocker>
#include <QToolButton>
#include <QVBoxLayout>

#include "ui/figures/default_figures.h"
#include "ui/figures/figure_text.h"
#include "ui/models/text.h"
#include "ui/window/figures/composition.h"
#include "ui/window/pages/page.h"

namespace aftercurve {

FigureListPanel::FigureListPanel(QWidget* parent)
    : QWidget(parent), list_(new QListWidget(this)), add_(new QToolButton(this)), kinds_(new QMenu(add_)) {
    const int em = fontMetrics().height();
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, em / 2, 0);
    column->addWidget(heading(tr("Figures of the manuscript"), this));
    add_->setText(tr("&Add a figure"));
    add_->setObjectName(QStringLiteral("figures.add"));
    add_->setAccessibleName(tr("Add a figure"));
    add_->setPopupMode(QToolButton::InstantPopup);
    add_->setFocusPolicy(Qt::StrongFocus);
    add_->setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Fixed);
    add_->setMenu(kinds_);
    kinds_->setObjectName(QStringLiteral("figures.kinds"));
    column->addWidget(add_);
    list_->setObjectName(QStringLiteral("figures.list"));
    list_->setAccessibleName(tr("Figures of the manuscript"));
    list_->setWordWrap(true);
    list_->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    column->addWidget(list_, 1);
    duplicate_ = button(tr("Duplicate"), "figures.duplicate", tr("A copy of the figure behind it"));
    remove_ = button(tr("Remove"), "figures.remove", tr("Take the figure out; undo brings it back"));
    up_ = button(tr("Up"), "figures.up", tr("One place earlier in the manuscript"));
    down_ = button(tr("Down"), "figures.down", tr("One place later in the manuscript"));
    save_ = button(tr("Save a file…"), "figures.save",
                   tr("Write all figures to a file of figures, for other studies"));
    load_ = button(tr("Load a file…"), "figures.load", tr("Add the figures of a file of figures"));
    auto* grid = new QGridLayout;
    grid->setSpacing(em / 4);
    QPushButton* const inOrder[] = {duplicate_, remove_, up_, down_, save_, load_};
    for (int i = 0; i < static_cast<int>(std::size(inOrder)); ++i) {
        grid->addWidget(inOrder[i], i / 2, i % 2);
    }
    column->addLayout(grid);
    connect(list_, &QListWidget::currentRowChanged, this, [this](int row) {
        enable();
        if (row >= 0) {
            Q_EMIT chosen(row);
        }
    });
    connect(duplicate_, &QPushButton::clicked, this, &FigureListPanel::duplicateWanted);
    connect(remove_, &QPushButton::clicked, this, &FigureListPanel::removeWanted);
    connect(up_, &QPushButton::clicked, this, [this] { Q_EMIT moveWanted(-1); });
    connect(down_, &QPushButton::clicked, this, [this] { Q_EMIT moveWanted(1); });
    connect(save_, &QPushButton::clicked, this, &FigureListPanel::saveWanted);
    connect(load_, &QPushButton::clicked, this, &FigureListPanel::loadWanted);
    fillMenu();
    enable();
}

QPushButton* FigureListPanel::button(const QString& text, const char* name, const QString& tip) {
    auto* button = new QPushButton(text, this);
    button->setObjectName(QLatin1String(name));
    button->setAccessibleName(text);
    button->setToolTip(tip);
    button->setMinimumWidth(fontMetrics().height() * 4);
    return button;
}

void FigureListPanel::fillMenu() {
    kinds_->clear();
    QAction* defaults = kinds_->addAction(tr("From the defaults: one of each that there are data for"));
    defaults->setObjectName(QStringLiteral("figures.kinds.defaults"));
    connect(defaults, &QAction::triggered, this, &FigureListPanel::defaultsWanted);
    kinds_->addSeparator();
    for (const FigureKind* kind : composableKinds()) {
        if (!results_ || !kind->available(*results_->study, results_->findings, {})) {
            continue;
        }
        QAction* action = kinds_->addAction(FigureText::tr(kind->title.data()));
        action->setObjectName(QStringLiteral("figures.kinds.") + shown(kind->key));
        connect(action, &QAction::triggered, this,
                [this, kind] { Q_EMIT addWanted(std::string{kind->key}); });
    }
}

void FigureListPanel::setResults(std::shared_ptr<const Results> results) {
    results_ = std::move(results);
    fillMenu();
    enable();
}

void FigureListPanel::showFigures(std::span<const FigureSpec> figures, const Study& study, int chosen,
                                  bool editable) {
    const QSignalBlocker quiet(list_);
    editable_ = editable;
    while (list_->count() > static_cast<int>(figures.size())) {
        delete list_->takeItem(list_->count() - 1);
    }
    for (std::size_t i = 0; i < figures.size(); ++i) {
        const int row = static_cast<int>(i);
        if (row == list_->count()) {
            list_->addItem(QString());
        }
        const QString title = shown(titleOf(figures[i], study));
        list_->item(row)->setText(tr("%1. %2").arg(row + 1).arg(title));
        list_->item(row)->setToolTip(shown(figures[i].id));
    }
    list_->setCurrentRow(chosen);
    enable();
}

void FigureListPanel::enable() {
    const int row = list_->currentRow();
    add_->setEnabled(editable_ && results_ != nullptr);
    load_->setEnabled(editable_);
    save_->setEnabled(list_->count() > 0);
    duplicate_->setEnabled(editable_ && row >= 0);
    remove_->setEnabled(editable_ && row >= 0);
    up_->setEnabled(editable_ && row > 0);
    down_->setEnabled(editable_ && row >= 0 && row + 1 < list_->count());
}

}  // namespace aftercurve
