#include "ui/window/figures/figures_page.h"

#include <QClipboard>
#include <QComboBox>
#include <QDir>
#include <QEvent>
#include <QFileInfo>
#include <QGuiApplication>
#include <QLabel>
#include <QPushButton>
#include <QScrollArea>
#include <QSignalBlocker>
#include <QStackedWidget>
#include <QTabWidget>
#include <QToolButton>
#include <algorithm>

#include "core/figure/figure_check.h"
#include "ui/export/clipboard.h"
#include "ui/figures/default_figures.h"
#include "ui/models/text.h"
#include "ui/window/figures/composition.h"
#include "ui/window/figures/export_figures_dialog.h"
#include "ui/window/figures/figure_canvas.h"
#include "ui/window/figures/figure_fields.h"
#include "ui/window/figures/figure_list_panel.h"
#include "ui/window/figures/food_looks.h"

namespace aftercurve {

FiguresPage::FiguresPage(Session& session, const WindowSetup& setup, QWidget* parent)
    : Page(session, parent),
      setup_(setup),
      list_(new FigureListPanel(this)),
      canvas_(new FigureCanvas(this)) {
    setObjectName(QStringLiteral("figuresPage"));
    build();
    connectList();
    connect(canvas_, &FigureCanvas::panelChosen, this, &FiguresPage::choosePanel);
    connect(canvas_, &FigureCanvas::keyPlaced, this, [this](std::size_t panel, const KeyPlace& place) {
        edit(tr("move of a key"), tr("key %1 %2").arg(chosen_).arg(panel),
             [&](auto& all) { all[static_cast<std::size_t>(chosen_)].panels[panel].frame.key = place; });
    });
    connect(canvas_, &FigureCanvas::keyPutBack, this, [this](std::size_t panel) {
        edit(tr("key above the panel"), {},
             [&](auto& all) { all[static_cast<std::size_t>(chosen_)].panels[panel].frame.key.reset(); });
    });
    for (FigureFields* form : {figureForm_, panelForm_}) {
        connect(form, &FigureFields::changed, this, &FiguresPage::put);
    }
    connect(foods_, &FoodLooks::changed, this, &FiguresPage::put);
    connect(&session_, &Session::studyOpened, this, [this] {
        chosen_ = session_.study()->figures.empty() ? -1 : 0;
        panel_ = 0;
        showAll();
    });
    connect(&session_, &Session::studyEdited, this, &FiguresPage::showAll);
    connect(&session_, &Session::figuresChanged, this, &FiguresPage::showFigures);
    connect(&session_, &Session::resultsChanged, this, [this] {
        if (isVisible()) {
            list_->setResults(session_.results());
        }
        showFigures();
    });
}

void FiguresPage::showEvent(QShowEvent* event) {
    Page::showEvent(event);
    if (stale_) {
        showAll();
    }
}

void FiguresPage::showAll() {
    // Menus, typefaces and looks of foods are for a reader only: a page that nobody opens costs nothing.
    stale_ = !isVisible();
    if (stale_) {
        keepChoice();
        return;
    }
    list_->setResults(session_.results());
    if (session_.hasStudy()) {
        showStudy();
    } else {
        showFigures();
    }
}

void FiguresPage::keepChoice() {
    const int last = static_cast<int>(figures().size()) - 1;
    chosen_ = last < 0 ? -1 : std::clamp(chosen_, 0, last);
}

const std::vector<FigureSpec>& FiguresPage::figures() const {
    static const std::vector<FigureSpec> none;
    return session_.hasStudy() ? session_.study()->figures : none;
}

std::vector<Problem> FiguresPage::wrongWith(const FigureSpec& figure) const {
    std::vector<Problem> wrong = validate(figure);
    if (wrong.empty() && chosen_ >= 0) {
        std::vector<FigureSpec> all = figures();
        all[static_cast<std::size_t>(chosen_)] = figure;
        wrong = validate(all);
    }
    return wrong;
}

bool FiguresPage::edit(const QString& name, const QString& part, const Edit& change) {
    if (!session_.hasStudy()) {
        return false;
    }
    std::vector<FigureSpec> all = figures();
    change(all);
    const Result<Done> done = session_.editFigures(std::move(all), name, part);
    showProblem(done ? QString() : wordsOf(done.problem()));
    if (!done) {
        showFigures();
    }
    return done.ok();
}

void FiguresPage::editPanels(const QString& name, const std::function<void(FigureSpec&)>& change) {
    if (chosen_ >= 0) {
        edit(name, {}, [&](auto& all) { change(all[static_cast<std::size_t>(chosen_)]); });
    }
}

void FiguresPage::put(const FigureSpec& figure, const QString& key) {
    edit(tr("change of a figure"), tr("%1 %2 %3").arg(chosen_).arg(panel_).arg(key),
         [&](auto& all) { all[static_cast<std::size_t>(chosen_)] = figure; });
}

void FiguresPage::choose(int figure) {
    if (chosen_ != figure) {
        chosen_ = figure;
        panel_ = 0;
        canvas_->choosePanel(0);
        showFigures();
    }
}

void FiguresPage::choosePanel(std::size_t panel) {
    if (panel_ != panel) {
        panel_ = panel;
        showFigures();
    }
}

void FiguresPage::connectList() {
    connect(list_, &FigureListPanel::chosen, this, &FiguresPage::choose);
    connect(list_, &FigureListPanel::defaultsWanted, this, &FiguresPage::takeDefaults);
    connect(list_, &FigureListPanel::addWanted, this, [this](const std::string& kind) {
        const auto results = session_.results();
        if (results) {
            const int last = static_cast<int>(figures().size());
            chosen_ = last;
            edit(tr("a new figure"), {},
                 [&](auto& all) { all.push_back(newFigure(all, kind, *results->study)); });
        }
    });
    connect(list_, &FigureListPanel::duplicateWanted, this, [this] {
        const auto at = static_cast<std::size_t>(chosen_);
        ++chosen_;
        edit(tr("a copy of a figure"), {}, [at](auto& all) { duplicate(all, at); });
    });
    connect(list_, &FigureListPanel::removeWanted, this, [this] {
        edit(tr("removal of a figure"), {}, [this](auto& all) { all.erase(all.begin() + chosen_); });
    });
    connect(list_, &FigureListPanel::moveWanted, this, [this](int by) {
        const int from = chosen_;
        chosen_ += by;
        edit(tr("order of the figures"), {}, [&](auto& all) {
            std::swap(all.at(static_cast<std::size_t>(from)), all.at(static_cast<std::size_t>(from + by)));
        });
    });
    connect(list_, &FigureListPanel::saveWanted, this, &FiguresPage::saveFile);
    connect(list_, &FigureListPanel::loadWanted, this, &FiguresPage::loadFile);
}

void FiguresPage::takeDefaults() {
    if (const auto results = session_.results()) {
        edit(tr("the default figures"), {},
             [&](auto& all) { append(all, defaultFigures(*results->study, results->findings)); });
    }
}

void FiguresPage::showStudy() {
    const auto study = session_.study();
    figureForm_->setStudy(study);
    panelForm_->setStudy(study);
    foods_->setStudy(*study);
    showFigures();
}

void FiguresPage::showFigures() {
    static const Study none;
    keepChoice();
    stale_ = !isVisible();
    if (stale_) {
        return;
    }
    const auto& all = figures();
    const bool open = session_.hasStudy();
    const bool editable = open && session_.readOnlyBecause().isEmpty();
    list_->showFigures(all, open ? *session_.study() : none, chosen_, editable);
    const auto results = session_.results();
    forms_->setVisible(chosen_ >= 0);
    for (QToolButton* button : {export_, exportAll_, copy_}) {
        button->setEnabled(hasComposed());
    }
    placeKey_->setEnabled(hasComposed() && editable);
    defaults_->setVisible(all.empty());
    defaults_->setEnabled(editable && results != nullptr);
    middle_->setCurrentIndex(hasComposed() ? 1 : 0);
    if (chosen_ < 0) {
        panel_ = 0;
        canvas_->showNothing();
        notice_->setWords(
            tr("No figure is composed yet"),
            tr("A figure of a manuscript has one or more panels, its size in millimetres, its own type, "
               "colours "
               "and words, and is kept with the study. “Add a figure” on the left starts one of a kind; or "
               "take the default figures, those that the program writes by itself, and change them."));
    } else {
        const FigureSpec& figure = all[static_cast<std::size_t>(chosen_)];
        panel_ = std::min(panel_, figure.panels.size() - 1);
        figureForm_->show(figure, panel_, editable);
        panelForm_->show(figure, panel_, editable);
        foods_->show(figure, editable);
        showPanels(figure, editable);
        canvas_->showFigure(figure, results);
        canvas_->choosePanel(panel_);
        notice_->setWords(
            tr("No results yet"),
            tr("The figure is drawn once the study is computed. Where the plan has an error, its "
               "sentence on top says which."));
    }
    Q_EMIT choiceChanged();
}

void FiguresPage::showPanels(const FigureSpec& figure, bool editable) {
    const QSignalBlocker quiet(panels_);
    panels_->clear();
    for (std::size_t i = 0; i < figure.panels.size(); ++i) {
        panels_->addItem(tr("Panel %1").arg(QChar(u'A' + static_cast<char16_t>(i))));
    }
    panels_->setCurrentIndex(static_cast<int>(panel_));
    addPanel_->setEnabled(editable && figure.panels.size() < mostPanels);
    removePanel_->setEnabled(editable && figure.panels.size() > 1);
    earlier_->setEnabled(editable && panel_ > 0);
    later_->setEnabled(editable && panel_ + 1 < figure.panels.size());
}

void FiguresPage::showProblem(const QString& words) {
    complain(*problem_, words);
}

bool FiguresPage::hasComposed() const {
    return chosen_ >= 0 && session_.results() != nullptr;
}

void FiguresPage::exportFigures(bool all) {
    if (!hasComposed()) {
        return;
    }
    std::vector<FigureSpec> wanted = figures();
    if (!all) {
        wanted = {wanted[static_cast<std::size_t>(chosen_)]};
    }
    auto* dialog = new ExportFiguresDialog(std::move(wanted), session_.results(), *setup_.settings,
                                           setup_.askExportFolder, this);
    connect(dialog, &ExportFiguresDialog::written, this, [this](const QString& folder, int files) {
        Q_EMIT told(
            tr("Written into %1: %2")
                .arg(QDir::toNativeSeparators(folder), counted(files, tr("%1 file"), tr("%1 files"))));
    });
    dialog->open();
}

void FiguresPage::copyComposed() {
    if (!hasComposed()) {
        return;
    }
    const auto results = session_.results();
    copyFigure(*QGuiApplication::clipboard(), figures()[static_cast<std::size_t>(chosen_)], *results->study,
               results->findings);
    Q_EMIT told(tr("Figure copied"));
}

bool FiguresPage::eventFilter(QObject* watched, QEvent* event) {
    if (watched == scroll_->viewport() && event->type() == QEvent::Resize) {
        canvas_->setRoom(scroll_->viewport()->size());
    }
    return Page::eventFilter(watched, event);
}

}  // namespace aftercurve
