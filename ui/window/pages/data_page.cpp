#include "ui/window/pages/data_page.h"

#include <QAction>
#include <QMenu>
#include <QTabWidget>
#include <QTableView>
#include <QVBoxLayout>

#include "ui/models/data_model.h"
#include "ui/models/text.h"
#include "ui/window/edit/edit_bar.h"
#include "ui/window/edit/exclusion_choices.h"
#include "ui/window/edit/reason_dialog.h"
#include "ui/window/statistics/setting_controls.h"

namespace aftercurve {

namespace {

/// What the history of a cell is asked for.
LedgerPlace placeOfCell(const Study& study, StudyTable table, std::size_t row, std::size_t column) {
    LedgerPlace place;
    place.table = std::string{nameOf(table)};
    place.field = columnsOf(study, table)[column].name;
    if (table == StudyTable::assays) {
        place.timeMin = study.assays.readings[row].timeMin;
    } else if (table == StudyTable::diary) {
        place.subject = study.diary.days[row].subject;
        place.food = study.diary.days[row].food;
    } else if (table == StudyTable::events) {
        place.subject = study.diary.events[row].subject;
        place.food = study.diary.events[row].food;
    } else if (table == StudyTable::assaySamples) {
        place.food = study.assays.samples[row].food;
    } else if (table == StudyTable::recipes) {
        place.food = study.fibre.recipes[row].food;
    }
    return place;
}

}  // namespace

DataPage::DataPage(Session& session, const QString& name, const std::vector<DataTable>& tables,
                   QWidget* parent)
    : Page(session, parent), tabs_(new QTabWidget(this)) {
    QVBoxLayout* column = pageColumn(this);
    tabs_->setObjectName(name + QStringLiteral(".tables"));
    tabs_->setDocumentMode(true);
    for (const DataTable& about : tables) {
        addTable(about);
    }
    column->addWidget(tabs_, 1);
}

void DataPage::addTable(const DataTable& about) {
    const QString name = QStringLiteral("data.") + shown(nameOf(about.table));
    auto* view = new EditableView(session_, new DataModel(about.table, this), name, tabs_);
    view->setContentsMargins(0, fontMetrics().height() / 2, 0, 0);
    view->setEmptyWords(about.emptyTitle, about.emptyText, about.example);
    if (about.addSettings != nullptr) {
        auto* settings = new SettingControls(session_, name, view);
        about.addSettings(*settings);
        view->addAbove(settings);
        connect(settings, &SettingControls::refused, &view->bar(), &EditBar::refuse);
    }
    tabs_->addTab(view, about.title);
    views_.push_back(view);
    view->setMenuFiller([this, view, table = about.table](QMenu& menu, const QModelIndex& index) {
        fillMenu(menu, table, view->model().studyRow(index.row()));
    });
    connect(view, &EditableView::historyWanted, this,
            [this, table = about.table](std::size_t row, std::size_t column) {
                Q_EMIT historyWanted(placeOfCell(*session_.study(), table, row, column));
            });
}

void DataPage::fillMenu(QMenu& menu, StudyTable table, std::size_t row) {
    if (!session_.readOnlyBecause().isEmpty()) {
        return;
    }
    for (const ExclusionChoice& choice : exclusionChoices(*session_.study(), table, row)) {
        QAction* action = menu.addAction(choice.text);
        action->setObjectName(choice.name);
        connect(action, &QAction::triggered, this,
                [this, exclusion = choice.exclusion] { askToExclude(session_, exclusion, this); });
    }
}

bool DataPage::goTo(const Problem& problem) {
    if (!session_.hasStudy() || problem.file.empty()) {
        return false;
    }
    for (EditableView* view : views_) {
        auto& model = static_cast<DataModel&>(view->model());
        if (model.file() != problem.file) {
            continue;
        }
        const auto studyRow = problem.row > 0 ? model.rowOfLine(problem.row) : std::nullopt;
        tabs_->setCurrentWidget(view);
        view->clearFilter();
        if (const auto row = studyRow ? model.rowOf(*studyRow) : std::nullopt) {
            view->view().setCurrentIndex(model.index(*row, model.columnNamed(problem.column).value_or(0)));
            view->view().scrollTo(view->view().currentIndex(), QAbstractItemView::PositionAtCenter);
        }
        view->view().setFocus();
        return true;
    }
    return false;
}

}  // namespace aftercurve
