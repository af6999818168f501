#include "ui/window/pages/problems_page.h"

#include <QComboBox>
#include <QHBoxLayout>
#include <QHeaderView>
#include <QKeyEvent>
#include <QLabel>
#include <QSortFilterProxyModel>
#include <QTableView>
#include <QVBoxLayout>

#include "core/check/acceptance.h"
#include "ui/models/text.h"
#include "ui/window/result_view.h"

namespace aftercurve {

ProblemsView::ProblemsView(const QString& name, QWidget* parent)
    : QWidget(parent),
      model_(new ProblemsModel(this)),
      order_(new QSortFilterProxyModel(this)),
      severity_(new Chooser(tr("S&how"), name + QStringLiteral(".severity"), this)),
      view_(new QTableView(this)) {
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 0);
    QHBoxLayout* row = controlRow(this);
    row->addWidget(severity_);
    row->addStretch(1);
    column->addLayout(row);
    severity_->add(tr("all problems"), "");
    for (const Severity severity : {Severity::error, Severity::warning, Severity::note}) {
        severity_->add(tr("%1s only").arg(severityName(severity)),
                       std::to_string(static_cast<int>(severity)));
    }
    order_->setSourceModel(model_);
    order_->setFilterRole(ProblemsModel::severityRole);
    order_->setFilterKeyColumn(0);
    setTableManners(*view_);
    view_->setObjectName(name + QStringLiteral(".view"));
    view_->setAccessibleName(tr("Problems"));
    view_->setModel(order_);
    view_->setWordWrap(true);
    view_->setTextElideMode(Qt::ElideNone);
    view_->horizontalHeader()->setSectionResizeMode(ProblemsModel::whatColumn, QHeaderView::Stretch);
    view_->horizontalHeader()->setSectionResizeMode(ProblemsModel::remedyColumn, QHeaderView::Stretch);
    view_->installEventFilter(this);
    column->addWidget(view_, 1);
    connect(severity_, &Chooser::chosen, this, &ProblemsView::filter);
    connect(view_, &QTableView::doubleClicked, this, &ProblemsView::go);
}

void ProblemsView::setProblems(const std::vector<Problem>& problems) {
    std::vector<Problem> sorted = problems;
    sortProblems(sorted);
    model_->setProblems(std::move(sorted));
    fit();
    if (order_->rowCount() > 0) {
        view_->setCurrentIndex(order_->index(0, 0));
    }
}

void ProblemsView::filter() {
    order_->setFilterFixedString(shown(severity_->value()));
    fit();
}

void ProblemsView::fit() {
    for (const int column :
         {ProblemsModel::severityColumn, ProblemsModel::placeColumn, ProblemsModel::concernsColumn}) {
        view_->resizeColumnToContents(column);
    }
    // The reader lists a few hundred at most, so every row can be measured.
    view_->resizeRowsToContents();
    for (int row = 0; row < order_->rowCount(); ++row) {
        view_->setRowHeight(row, view_->rowHeight(row) + fontMetrics().height() / 2);
    }
}

bool ProblemsView::eventFilter(QObject* watched, QEvent* event) {
    if (watched == view_ && event->type() == QEvent::KeyPress) {
        const int key = static_cast<QKeyEvent*>(event)->key();
        if (key == Qt::Key_Return || key == Qt::Key_Enter) {
            go(view_->currentIndex());
            return true;
        }
    }
    if (watched == view_ && event->type() == QEvent::Resize) {
        // After the table has given its columns their widths.
        QMetaObject::invokeMethod(this, &ProblemsView::fit, Qt::QueuedConnection);
    }
    return QWidget::eventFilter(watched, event);
}

void ProblemsView::go(const QModelIndex& index) {
    if (index.isValid()) {
        const Problem problem = model_->problemAt(order_->mapToSource(index).row());
        Q_EMIT activated(problem);
    }
}

ProblemsPage::ProblemsPage(Session& session, QWidget* parent)
    : Page(session, parent),
      problems_(new ProblemsView(QStringLiteral("problems"), this)),
      where_(new QLabel(this)) {
    QVBoxLayout* column = pageColumn(this);
    column->addWidget(problems_, 1);
    where_->setObjectName(QStringLiteral("problems.where"));
    where_->setWordWrap(true);
    where_->setTextFormat(Qt::PlainText);
    column->addWidget(where_);
    connect(problems_, &ProblemsView::activated, this, &ProblemsPage::activated);
    connect(&session_, &Session::studyOpened, this, &ProblemsPage::showProblems);
    connect(&session_, &Session::resultsChanged, this, &ProblemsPage::showProblems);
}

void ProblemsPage::showProblems() {
    const auto results = session_.results();
    const std::vector<Problem>& problems = results ? results->findings.problems : session_.readProblems();
    problems_->setProblems(problems);
    where_->setText(problems.empty()
                        ? tr("No problems were found.")
                        : tr("Double-click a problem, or press Enter, to go to its row in Samples."));
}

void ProblemsPage::explain(const Problem& problem) {
    const QString place = shown(placeOf(problem));
    if (!problem.column.empty()) {
        where_->setText(
            tr("This concerns the key “%1” of %2.")
                .arg(shown(problem.column), place.isEmpty() ? QStringLiteral("study.json") : place));
    } else if (!place.isEmpty()) {
        where_->setText(tr("This concerns %1 as a whole.").arg(place));
    } else {
        where_->setText(tr("This concerns the results as a whole, not one row."));
    }
}

}  // namespace aftercurve
