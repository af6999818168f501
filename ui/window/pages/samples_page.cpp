#include "ui/window/pages/samples_page.h"

#include <QAction>
#include <QCheckBox>
#include <QMenu>
#include <QTableView>
#include <QVBoxLayout>

#include "ui/models/text.h"
#include "ui/window/edit/reason_dialog.h"
#include "ui/window/result_view.h"

namespace aftercurve {

SamplesPage::SamplesPage(Session& session, QWidget* parent)
    : Page(session, parent),
      model_(new SamplesModel(this)),
      table_(new EditableView(session, model_, QStringLiteral("samples"), this)),
      allColumns_(new QCheckBox(tr("All &columns"), this)) {
    QVBoxLayout* column = pageColumn(this);
    column->addWidget(table_, 1);
    allColumns_->setObjectName(QStringLiteral("samples.allColumns"));
    allColumns_->setToolTip(
        tr("Also planned times, determinations and remarks where the study has none yet"));
    table_->addControl(allColumns_);
    connect(allColumns_, &QCheckBox::toggled, this, [this](bool all) {
        model_->setAllColumns(all);
        fitColumns(table_->view());
    });
    table_->setMenuFiller([this](QMenu& menu, const QModelIndex& index) { fillMenu(menu, index); });
    connect(table_, &EditableView::historyWanted, this, [this](std::size_t row, std::size_t field) {
        const Study& study = *session_.study();
        const Draw& draw = study.draws[row];
        LedgerPlace place;
        place.table = "samples";
        place.subject = study.subjects[draw.subject].id;
        place.food = study.foods[draw.food].id;
        place.visit = draw.visit;
        place.timeMin = draw.timeMin;
        place.field = model_->studyColumns()[field].name;
        Q_EMIT historyWanted(place);
    });
}

void SamplesPage::fillMenu(QMenu& menu, const QModelIndex& index) {
    if (!model_->isEditable()) {
        return;
    }
    const Study& study = *session_.study();
    const Draw& draw = study.draws[model_->studyRow(index.row())];
    Exclusion subject;
    subject.subject = study.subjects[draw.subject].id;
    Exclusion visit = subject;
    visit.food = study.foods[draw.food].id;
    visit.visit = draw.visit;
    Exclusion sample = visit;
    sample.timeMin = draw.timeMin;
    Exclusion food;
    food.food = study.foods[draw.food].id;
    const auto add = [&](const QString& text, const char* name, const Exclusion& exclusion) {
        QAction* action = menu.addAction(text);
        action->setObjectName(QLatin1String(name));
        connect(action, &QAction::triggered, this,
                [this, exclusion] { askToExclude(session_, exclusion, this); });
    };
    const auto column = model_->studyColumn(index.column());
    if (column && findAnalyte(study, model_->studyColumns()[*column].name)) {
        UnitScope scope;
        scope.analyte = model_->studyColumns()[*column].name;
        scope.subject = visit.subject;
        scope.food = visit.food;
        scope.visit = visit.visit;
        QAction* convert = menu.addAction(tr("Convert this visit from another &unit…"));
        convert->setObjectName(QStringLiteral("editMenu.convert"));
        connect(convert, &QAction::triggered, this, [this, scope] { askToConvert(session_, scope, this); });
    }
    add(tr("E&xclude this sample…"), "editMenu.excludeSample", sample);
    add(tr("Exclude this &visit…"), "editMenu.excludeVisit", visit);
    add(tr("Exclude &subject %1…").arg(shown(subject.subject)), "editMenu.excludeSubject", subject);
    add(tr("Exclude all of %1…").arg(shown(labelOf(study, food.food))), "editMenu.excludeFood", food);
}

bool SamplesPage::goTo(const Problem& problem) {
    if (!session_.hasStudy()) {
        return false;
    }
    table_->clearFilter();
    std::optional<int> row;
    if (!problem.file.empty() && problem.row > 0) {
        row = model_->rowOfLine(problem.file, problem.row);
    }
    if (!problem.subject.empty() && (!row || problem.timeMin)) {
        const auto sample =
            model_->rowOfSubject(problem.subject, problem.food, problem.visit, problem.timeMin);
        row = sample ? sample : row;
    }
    if (!row) {
        return false;
    }
    const auto column = model_->columnNamed(problem.analyte.empty() ? problem.column : problem.analyte);
    QTableView& view = table_->view();
    view.setCurrentIndex(model_->index(*row, column.value_or(1)));
    view.scrollTo(view.currentIndex(), QAbstractItemView::PositionAtCenter);
    view.setFocus();
    return true;
}

}  // namespace aftercurve
