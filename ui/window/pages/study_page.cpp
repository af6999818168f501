#include "ui/window/pages/study_page.h"

#include <QHBoxLayout>
#include <QLabel>
#include <QLineEdit>
#include <QStringList>
#include <QTabWidget>
#include <QTableView>
#include <QVBoxLayout>

#include "ui/models/text.h"
#include "ui/window/edit/edit_bar.h"
#include "ui/window/pages/conduct_form.h"
#include "ui/window/pages/parts_form.h"
#include "ui/window/pages/plan_rules.h"

namespace aftercurve {

StudyPage::StudyPage(Session& session, QWidget* parent)
    : Page(session, parent),
      title_(new QLineEdit(this)),
      files_(new QLabel(this)),
      tabs_(new QTabWidget(this)) {
    QVBoxLayout* column = pageColumn(this);
    auto* row = controlRow(this);
    auto* label = new QLabel(tr("&Title"), this);
    label->setBuddy(title_);
    title_->setObjectName(QStringLiteral("study.title"));
    title_->setAccessibleName(tr("Title of the study"));
    title_->setMaxLength(500);
    row->addWidget(label);
    row->addWidget(title_, 1);
    column->addLayout(row);
    files_->setObjectName(QStringLiteral("study.files"));
    files_->setTextFormat(Qt::PlainText);
    files_->setWordWrap(true);
    files_->setTextInteractionFlags(Qt::TextSelectableByMouse | Qt::TextSelectableByKeyboard);
    column->addWidget(files_);
    tabs_->setObjectName(QStringLiteral("study.tables"));
    tabs_->setDocumentMode(true);
    addTable(StudyTable::foods, tr("Foods"));
    addTable(StudyTable::subjects, tr("Subjects"));
    addTable(StudyTable::visits, tr("Visits"));
    addTable(StudyTable::analytes, tr("Analytes"));
    tabs_->addTab(new PlanRules(session, tabs_), tr("Rules for times and values"));
    tabs_->addTab(new PartsForm(session, tabs_), tr("Parts of a meal"));
    tabs_->addTab(new ConductForm(session, tabs_), tr("How it was run"));
    column->addWidget(tabs_, 1);
    connect(title_, &QLineEdit::editingFinished, this, [this] {
        if (session_.hasStudy() && title_->text() != shown(session_.study()->title)) {
            const Result<Done> done =
                session_.change({SetTitle{plain(title_->text().trimmed())}}, tr("change of the title"));
            if (!done) {
                tables_.front()->bar().refuse(done.problem());
                title_->setText(shown(session_.study()->title));
            }
        }
    });
    connect(&session_, &Session::studyOpened, this, &StudyPage::showStudy);
    connect(&session_, &Session::studyEdited, this, &StudyPage::showStudy);
}

EditableView* StudyPage::addTable(StudyTable table, const QString& title) {
    const QString name = shown(nameOf(table));
    auto* view = new EditableView(session_, new StudyTableModel(table, this), name, tabs_);
    view->setContentsMargins(0, fontMetrics().height() / 2, 0, 0);
    tabs_->addTab(view, title);
    tables_.push_back(view);
    connect(view, &EditableView::historyWanted, this,
            [this, view, table](std::size_t row, std::size_t column) {
                LedgerPlace place;
                place.table = std::string{nameOf(table)};
                place.field = view->model().studyColumns()[column].name;
                const Study& study = *session_.study();
                if (table == StudyTable::subjects) {
                    place.subject = study.subjects[row].id;
                } else if (table == StudyTable::foods) {
                    place.food = study.foods[row].id;
                } else if (table == StudyTable::visits) {
                    place.subject = study.subjects[study.visits[row].subject].id;
                    place.food = study.foods[study.visits[row].food].id;
                    place.visit = study.visits[row].visit;
                }
                Q_EMIT historyWanted(place);
            });
    return view;
}

void StudyPage::showStudy() {
    const Study& study = *session_.study();
    if (!title_->hasFocus()) {
        title_->setText(shown(study.title));
    }
    title_->setReadOnly(!session_.readOnlyBecause().isEmpty());
    QStringList names;
    for (const InputFile& input : study.inputs) {
        names << shown(input.file);
    }
    files_->setText(tr("%1: %2").arg(session_.folder(), names.join(QStringLiteral(", "))));
}

bool StudyPage::goTo(const Problem& problem) {
    if (!session_.hasStudy() || problem.file.empty() || problem.row == 0) {
        return false;
    }
    const Study& study = *session_.study();
    for (int tab = 0; tab < static_cast<int>(tables_.size()); ++tab) {
        EditableView& table = *tables_[static_cast<std::size_t>(tab)];
        std::optional<std::size_t> row;
        if (table.model().table() == StudyTable::visits && problem.file == study.visitsFile) {
            for (std::size_t i = 0; i < study.visits.size(); ++i) {
                row = study.visits[i].row == problem.row ? std::optional(i) : row;
            }
        } else if (table.model().table() == StudyTable::subjects && problem.file == study.subjectsFile) {
            row = findSubject(study, problem.subject);
        }
        if (!row) {
            continue;
        }
        table.clearFilter();
        tabs_->setCurrentIndex(tab);
        if (const auto at = table.model().rowOf(*row)) {
            const int column = table.model().columnNamed(problem.column).value_or(0);
            table.view().setCurrentIndex(table.model().index(*at, column));
            table.view().scrollTo(table.view().currentIndex());
            table.view().setFocus();
        }
        return true;
    }
    return false;
}

}  // namespace aftercurve
