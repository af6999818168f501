#include "ui/window/pages/problems_page.h"

#include <QComboBox>
#include <QHBoxLayout>
#include <QHeaderView>
#include <QItemSelectionModel>
#include <QKeyEvent>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QSortFilterProxyModel>
#include <QTableView>
#include <QVBoxLayout>

#include "core/check/acceptance.h"
#include "ui/models/text.h"
#include "ui/window/edit/reason_dialog.h"
#include "ui/window/result_view.h"

namespace aftercurve {

/// Lets problems through by kind and by text.
class ProblemsFilter : public QSortFilterProxyModel {
  public:
    using QSortFilterProxyModel::QSortFilterProxyModel;

    void setKind(const std::string& kind) {
        kind_ = kind;
        invalidateFilter();
    }
    void setText(const QString& text) {
        text_ = text;
        invalidateFilter();
    }

  protected:
    bool filterAcceptsRow(int row, const QModelIndex&) const override {
        const QModelIndex first = sourceModel()->index(row, 0);
        const bool accepted = first.data(ProblemsModel::acceptedRole).toBool();
        const auto severity = static_cast<Severity>(first.data(ProblemsModel::severityRole).toInt());
        const bool fits = kind_.empty() || (kind_ == "open" && !accepted && severity != Severity::note) ||
                          (kind_ == "accepted" && accepted) || (kind_ == nameOf(severity) && !accepted);
        if (!fits || text_.isEmpty()) {
            return fits;
        }
        for (int column = 0; column < sourceModel()->columnCount(); ++column) {
            if (sourceModel()->index(row, column).data().toString().contains(text_, Qt::CaseInsensitive)) {
                return true;
            }
        }
        return false;
    }

  private:
    std::string kind_;
    QString text_;
};

ProblemsView::ProblemsView(const QString& name, QWidget* parent)
    : QWidget(parent),
      model_(new ProblemsModel(this)),
      order_(new ProblemsFilter(this)),
      severity_(new Chooser(tr("S&how"), name + QStringLiteral(".severity"), this)),
      text_(new QLineEdit(this)),
      controls_(new QWidget(this)),
      view_(new QTableView(this)) {
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 0);
    auto* row = new QHBoxLayout(controls_);
    row->setContentsMargins(0, 0, 0, 0);
    row->setSpacing(fontMetrics().height() / 2);
    auto* label = new QLabel(tr("&with"), controls_);
    label->setBuddy(text_);
    text_->setObjectName(name + QStringLiteral(".text"));
    text_->setAccessibleName(tr("Show only problems with this text"));
    text_->setPlaceholderText(tr("any text"));
    text_->setClearButtonEnabled(true);
    text_->setMaximumWidth(fontMetrics().height() * 14);
    row->addWidget(severity_);
    row->addWidget(label);
    row->addWidget(text_);
    row->addStretch(1);
    column->addWidget(controls_);
    severity_->add(tr("all problems"), "");
    severity_->add(tr("open errors and warnings"), "open");
    for (const Severity severity : {Severity::error, Severity::warning, Severity::note}) {
        severity_->add(tr("%1s only").arg(severityName(severity)), std::string{nameOf(severity)});
    }
    severity_->add(tr("accepted warnings"), "accepted");
    order_->setSourceModel(model_);
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
    connect(text_, &QLineEdit::textChanged, this, &ProblemsView::filter);
    connect(view_, &QTableView::doubleClicked, this, &ProblemsView::go);
    connect(view_->selectionModel(), &QItemSelectionModel::currentChanged, this,
            &ProblemsView::currentChanged);
}

std::optional<Problem> ProblemsView::current() const {
    const QModelIndex index = view_->currentIndex();
    return index.isValid() ? std::optional(model_->problemAt(order_->mapToSource(index).row()))
                           : std::nullopt;
}

void ProblemsView::addControl(QWidget* control) {
    static_cast<QHBoxLayout*>(controls_->layout())->addWidget(control);
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
    order_->setKind(severity_->value());
    order_->setText(text_->text().trimmed());
    fit();
    Q_EMIT currentChanged();
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
      accept_(new QPushButton(tr("&Accept…"), this)),
      back_(new QPushButton(tr("&Open again…"), this)),
      convert_(new QPushButton(tr("Con&vert the unit…"), this)),
      where_(new QLabel(this)) {
    QVBoxLayout* column = pageColumn(this);
    column->addWidget(problems_, 1);
    accept_->setObjectName(QStringLiteral("problems.accept"));
    accept_->setToolTip(tr("Let the chosen warning stand, with a reason"));
    back_->setObjectName(QStringLiteral("problems.back"));
    back_->setToolTip(tr("Take the acceptance of the chosen warning back"));
    convert_->setObjectName(QStringLiteral("problems.convert"));
    convert_->setToolTip(tr("Bring values that were typed in another unit to the unit of the study"));
    problems_->addControl(convert_);
    problems_->addControl(accept_);
    problems_->addControl(back_);
    where_->setObjectName(QStringLiteral("problems.where"));
    where_->setWordWrap(true);
    where_->setTextFormat(Qt::PlainText);
    column->addWidget(where_);
    connect(accept_, &QPushButton::clicked, this, &ProblemsPage::accept);
    connect(convert_, &QPushButton::clicked, this, &ProblemsPage::convert);
    connect(back_, &QPushButton::clicked, this, &ProblemsPage::takeAcceptanceBack);
    connect(problems_, &ProblemsView::activated, this, &ProblemsPage::activated);
    connect(problems_, &ProblemsView::currentChanged, this, &ProblemsPage::showButtons);
    connect(&session_, &Session::studyOpened, this, &ProblemsPage::showProblems);
    connect(&session_, &Session::resultsChanged, this, &ProblemsPage::showProblems);
    showButtons();
}

void ProblemsPage::showProblems() {
    const auto results = session_.results();
    const std::vector<Problem>& problems = results ? results->findings.problems : session_.readProblems();
    problems_->setProblems(problems);
    where_->setText(problems.empty()
                        ? tr("No problems were found.")
                        : tr("Double-click a problem, or press Enter, to go to the cell that it concerns."));
    showButtons();
}

void ProblemsPage::showButtons() {
    const auto problem = problems_->current();
    const bool editable = session_.hasStudy() && session_.readOnlyBecause().isEmpty();
    accept_->setEnabled(editable && problem && canBeAccepted(*problem));
    convert_->setEnabled(editable && problem && problem->check == "unit-mix-up");
    back_->setEnabled(editable && problem && !problem->acceptedBecause.empty());
}

void ProblemsPage::accept() {
    if (const auto problem = problems_->current()) {
        askToAccept(session_, *problem, this);
    }
}

void ProblemsPage::convert() {
    if (const auto problem = problems_->current()) {
        UnitScope scope;
        scope.analyte = problem->analyte;
        scope.subject = problem->subject;
        scope.food = problem->food;
        scope.visit = problem->visit > 0 ? std::optional(problem->visit) : std::nullopt;
        if (problem->subject.empty() && problem->row == 0 && problem->file != "study.json") {
            scope.file = problem->file;
        }
        askToConvert(session_, scope, this);
    }
}

void ProblemsPage::takeAcceptanceBack() {
    if (const auto problem = problems_->current()) {
        askToOpenAgain(session_, *problem, this);
    }
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
