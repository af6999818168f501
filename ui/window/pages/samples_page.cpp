#include "ui/window/pages/samples_page.h"

#include <QHBoxLayout>
#include <QHeaderView>
#include <QLabel>
#include <QLineEdit>
#include <QLocale>
#include <QTableView>
#include <QVBoxLayout>

#include "ui/window/result_view.h"

namespace aftercurve {

SamplesPage::SamplesPage(Session& session, QWidget* parent)
    : Page(session, parent),
      model_(new SamplesModel(this)),
      filter_(new QLineEdit(this)),
      count_(new QLabel(this)),
      view_(new QTableView(this)) {
    QVBoxLayout* column = pageColumn(this);
    QHBoxLayout* row = controlRow(this);
    auto* label = new QLabel(tr("Show only"), this);
    label->setBuddy(filter_);
    filter_->setObjectName(QStringLiteral("samples.filter"));
    filter_->setAccessibleName(tr("Show only this subject or food"));
    filter_->setPlaceholderText(tr("subject or food"));
    filter_->setClearButtonEnabled(true);
    filter_->setMaximumWidth(fontMetrics().height() * 18);
    count_->setObjectName(QStringLiteral("samples.count"));
    row->addWidget(label);
    row->addWidget(filter_);
    row->addWidget(count_);
    row->addStretch(1);
    column->addLayout(row);
    setTableManners(*view_);
    view_->setObjectName(QStringLiteral("samples.view"));
    view_->setAccessibleName(tr("Samples"));
    view_->setModel(model_);
    view_->horizontalHeader()->setStretchLastSection(true);
    column->addWidget(view_, 1);

    settle_.setSingleShot(true);
    settle_.setInterval(150);
    connect(filter_, &QLineEdit::textChanged, &settle_, qOverload<>(&QTimer::start));
    connect(&settle_, &QTimer::timeout, this, [this] {
        model_->setFilter(filter_->text().trimmed());
        showCount();
    });
    connect(&session_, &Session::studyOpened, this, &SamplesPage::showStudy);
}

void SamplesPage::showStudy() {
    {
        const QSignalBlocker quiet(filter_);
        filter_->clear();
    }
    settle_.stop();
    model_->setStudy(session_.study());
    fitColumns(*view_);
    view_->scrollToTop();
    showCount();
}

void SamplesPage::showCount() {
    const QLocale locale = this->locale();
    const auto all = static_cast<qlonglong>(session_.study()->draws.size());
    const int shownRows = model_->rowCount();
    count_->setText(filter_->text().isEmpty()
                        ? tr("%1 draws").arg(locale.toString(all))
                        : tr("%1 of %2 draws").arg(locale.toString(shownRows), locale.toString(all)));
}

bool SamplesPage::goTo(const Problem& problem) {
    if (!session_.hasStudy()) {
        return false;
    }
    filter_->clear();
    settle_.stop();
    model_->setFilter(QString());
    showCount();
    std::optional<int> row;
    if (!problem.file.empty() && problem.row > 0) {
        row = model_->rowOf(problem.file, problem.row);
    }
    if (!row && !problem.subject.empty()) {
        row = model_->rowOfSubject(problem.subject, problem.food);
    }
    if (!row) {
        return false;
    }
    view_->setCurrentIndex(model_->index(*row, SamplesModel::subjectColumn));
    view_->scrollTo(view_->currentIndex(), QAbstractItemView::PositionAtCenter);
    view_->setFocus();
    return true;
}

}  // namespace aftercurve
