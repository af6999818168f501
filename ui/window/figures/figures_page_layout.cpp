#include <QComboBox>
#include <QGridLayout>
#include <QLabel>
#include <QPushButton>
#include <QScrollArea>
#include <QSplitter>
#include <QStackedWidget>
#include <QTabWidget>
#include <QToolButton>
#include <QVBoxLayout>
#include <algorithm>

#include "ui/window/figures/figure_canvas.h"
#include "ui/window/figures/figure_fields.h"
#include "ui/window/figures/figure_forms.h"
#include "ui/window/figures/figure_list_panel.h"
#include "ui/window/figures/figures_page.h"
#include "ui/window/figures/food_looks.h"
#include "ui/window/flow_layout.h"

namespace aftercurve {

namespace {

/// A form that is larger than its place scrolls.
QScrollArea* scrolled(QWidget* form, QWidget* parent) {
    auto* area = new QScrollArea(parent);
    area->setWidgetResizable(true);
    area->setFrameShape(QFrame::NoFrame);
    area->setWidget(form);
    area->setMinimumWidth(parent->fontMetrics().height() * 14);
    return area;
}

}  // namespace

void FiguresPage::build() {
    const int em = fontMetrics().height();
    auto* column = pageColumn(this);
    problem_ = complaintLabel(QStringLiteral("figures.problem"), this);
    column->addWidget(problem_);
    auto* parts = new QSplitter(Qt::Horizontal, this);
    parts->setChildrenCollapsible(false);
    parts->addWidget(list_);
    parts->addWidget(buildMiddle(parts));
    parts->addWidget(buildForms(parts));
    parts->setStretchFactor(0, 0);
    parts->setStretchFactor(1, 1);
    parts->setStretchFactor(2, 0);
    parts->setSizes({em * 14, em * 50, em * 22});
    column->addWidget(parts, 1);
}

QToolButton* FiguresPage::tool(const QString& text, const char* name, const QString& tip, QWidget* parent) {
    auto* button = new QToolButton(parent);
    button->setText(text);
    button->setObjectName(QStringLiteral("figures.") + QLatin1String(name));
    button->setAccessibleName(QString(text).remove(u'&'));
    button->setToolTip(tip);
    button->setFocusPolicy(Qt::StrongFocus);
    return button;
}

QWidget* FiguresPage::buildTools(QWidget* parent) {
    const int em = fontMetrics().height();
    auto* tools = new QWidget(parent);
    auto* row = new FlowLayout(tools, em / 2, em / 4);
    zoom_ = new QComboBox(tools);
    zoom_->setObjectName(QStringLiteral("figures.zoom"));
    zoom_->setAccessibleName(tr("Size on the screen"));
    zoom_->addItem(tr("as large as fits"), 0.0);
    zoom_->addItem(tr("50 %"), 0.5);
    zoom_->addItem(tr("true size"), 1.0);
    zoom_->addItem(tr("200 %"), 2.0);
    zoom_->setCurrentIndex(zoom_->findData(1.0));
    row->addWidget(zoom_);
    placeKey_ =
        tool(tr("Place the &key by dragging"), "dragKey",
             tr("Press in a panel and draw its key to where it is to stand; a double click puts it back "
                "above the panel"),
             tools);
    placeKey_->setCheckable(true);
    export_ =
        tool(tr("E&xport…"), "export", tr("Write this figure in the formats that a journal takes"), tools);
    exportAll_ = tool(tr("Export a&ll…"), "exportAll", tr("Write every figure of the list"), tools);
    copy_ = tool(tr("Copy as image"), "copy", tr("Put this figure on the clipboard"), tools);
    for (QToolButton* button : {placeKey_, export_, exportAll_, copy_}) {
        row->addWidget(button);
    }
    connect(zoom_, &QComboBox::currentIndexChanged, this,
            [this] { canvas_->setZoom(zoom_->currentData().toDouble()); });
    connect(placeKey_, &QToolButton::toggled, canvas_, &FigureCanvas::setPlacingKey);
    connect(export_, &QToolButton::clicked, this, [this] { exportFigures(false); });
    connect(exportAll_, &QToolButton::clicked, this, [this] { exportFigures(true); });
    connect(copy_, &QToolButton::clicked, this, &FiguresPage::copyComposed);
    return tools;
}

QWidget* FiguresPage::buildEmpty(QWidget* parent) {
    auto* empty = new QWidget(parent);
    auto* column = new QVBoxLayout(empty);
    const int em = fontMetrics().height();
    notice_ = new EmptyNotice(empty);
    notice_->setMinimumHeight(em * 13);  // its words wrap, and the stretch below would take their room
    column->addWidget(notice_);
    defaults_ = new QPushButton(tr("Take the default figures"), empty);
    defaults_->setObjectName(QStringLiteral("figures.defaults"));
    defaults_->setAccessibleName(defaults_->text());
    auto* row = new QHBoxLayout;
    row->setContentsMargins(em * 2, 0, em, 0);
    row->addWidget(defaults_);
    row->addStretch(1);
    column->addLayout(row);
    column->addStretch(1);
    connect(defaults_, &QPushButton::clicked, this, &FiguresPage::takeDefaults);
    return empty;
}

QWidget* FiguresPage::buildMiddle(QWidget* parent) {
    middle_ = new QStackedWidget(parent);
    middle_->addWidget(buildEmpty(middle_));
    auto* shown = new QWidget(middle_);
    auto* column = new QVBoxLayout(shown);
    column->setContentsMargins(0, 0, 0, 0);
    column->addWidget(buildTools(shown));
    scroll_ = new QScrollArea(shown);
    scroll_->setObjectName(QStringLiteral("figures.scroll"));
    scroll_->setAccessibleName(tr("Page of the figure"));
    scroll_->setWidgetResizable(true);
    scroll_->setBackgroundRole(QPalette::Mid);
    scroll_->setWidget(canvas_);
    scroll_->setMinimumSize(fontMetrics().height() * 8, fontMetrics().height() * 10);
    scroll_->viewport()->installEventFilter(this);
    column->addWidget(scroll_, 1);
    middle_->addWidget(shown);
    return middle_;
}

QWidget* FiguresPage::buildPanelTab(QWidget* parent) {
    const int em = fontMetrics().height();
    auto* tab = new QWidget(parent);
    auto* column = new QVBoxLayout(tab);
    column->setContentsMargins(0, em / 2, 0, 0);
    panels_ = new QComboBox(tab);
    panels_->setObjectName(QStringLiteral("figures.panels"));
    panels_->setAccessibleName(tr("Panel of the figure"));
    const auto button = [&](const QString& text, const char* name) {
        auto* made = new QPushButton(text, tab);
        made->setObjectName(QStringLiteral("figures.panels.") + QLatin1String(name));
        made->setAccessibleName(text);
        return made;
    };
    addPanel_ = button(tr("Add a panel"), "add");
    removePanel_ = button(tr("Remove the panel"), "remove");
    earlier_ = button(tr("Earlier"), "earlier");
    later_ = button(tr("Later"), "later");
    auto* grid = new QGridLayout;
    grid->setSpacing(em / 4);
    grid->addWidget(panels_, 0, 0, 1, 2);
    grid->addWidget(addPanel_, 1, 0);
    grid->addWidget(removePanel_, 1, 1);
    grid->addWidget(earlier_, 2, 0);
    grid->addWidget(later_, 2, 1);
    column->addLayout(grid);
    panelForm_ = panelForm([this](const FigureSpec& figure) { return wrongWith(figure); }, tab);
    column->addWidget(panelForm_);
    column->addStretch(1);
    connect(panels_, &QComboBox::currentIndexChanged, this, [this](int panel) {
        if (panel >= 0) {
            choosePanel(static_cast<std::size_t>(panel));
        }
    });
    connect(addPanel_, &QPushButton::clicked, this, [this] {
        const std::size_t at = panel_++;
        editPanels(tr("a new panel"), [at](FigureSpec& figure) {
            // A copy of the one before: the usual next panel differs in one thing, such as the analyte.
            const PanelSpec copy = figure.panels[at];
            figure.panels.insert(figure.panels.begin() + static_cast<std::ptrdiff_t>(at) + 1, copy);
            if (figure.panels.size() == 2 && figure.columns == 1) {
                figure.columns = 2;
            }
        });
    });
    connect(removePanel_, &QPushButton::clicked, this, [this] {
        editPanels(tr("removal of a panel"), [this](FigureSpec& figure) {
            figure.panels.erase(figure.panels.begin() + static_cast<std::ptrdiff_t>(panel_));
        });
    });
    const auto move = [this](std::size_t from, std::size_t to) {
        panel_ = to;
        editPanels(tr("order of the panels"), [from, to](FigureSpec& figure) {
            std::swap(figure.panels.at(from), figure.panels.at(to));
        });
    };
    connect(earlier_, &QPushButton::clicked, this, [this, move] { move(panel_, panel_ - 1); });
    connect(later_, &QPushButton::clicked, this, [this, move] { move(panel_, panel_ + 1); });
    return tab;
}

QWidget* FiguresPage::buildForms(QWidget* parent) {
    const auto check = [this](const FigureSpec& figure) { return wrongWith(figure); };
    forms_ = new QTabWidget(parent);
    forms_->setObjectName(QStringLiteral("figures.forms"));
    forms_->setAccessibleName(tr("What the figure is drawn with"));
    forms_->setDocumentMode(true);
    figureForm_ = figureForm(check, forms_);
    foods_ = new FoodLooks(check, forms_);
    forms_->addTab(scrolled(figureForm_, forms_), tr("Figure"));
    forms_->addTab(scrolled(buildPanelTab(forms_), forms_), tr("Panel"));
    forms_->addTab(scrolled(foods_, forms_), tr("Foods"));
    return forms_;
}

}  // namespace aftercurve
