#include "ui/window/pages/exclusions_page.h"

#include <QHBoxLayout>
#include <QLabel>
#include <QPushButton>
#include <QRadioButton>
#include <QVBoxLayout>

#include "ui/models/text.h"
#include "ui/window/edit/reason_dialog.h"
#include "ui/window/result_view.h"

namespace aftercurve {

ExclusionsPage::ExclusionsPage(Session& session, QWidget* parent)
    : Page(session, parent),
      list_(new ResultView(QStringLiteral("exclusions"), this)),
      effect_(new ResultView(QStringLiteral("exclusions_effect"), this)),
      about_(new QLabel(this)),
      with_(new QRadioButton(tr("as &planned, without what is excluded"), this)),
      without_(new QRadioButton(tr("as if &nothing were excluded"), this)),
      again_(new QPushButton(tr("&Count it again…"), this)),
      none_(new EmptyNotice(this)),
      full_(new QWidget(this)) {
    QVBoxLayout* column = pageColumn(this);
    none_->setWords(
        tr("Nothing is excluded"),
        tr("Every value counts. To exclude a sample, a visit, a subject or a food, open Samples, click a "
           "row with the right button and choose what to exclude; likewise a digestion, a run or a result of "
           "fibre at the data of In vitro, and diary days at those of Tolerance. A reason is asked for and "
           "stays on record. The values stay in the tables."));
    column->addWidget(none_, 1);
    column->addWidget(full_, 1);
    auto* inner = new QVBoxLayout(full_);
    inner->setContentsMargins(0, 0, 0, 0);
    QHBoxLayout* row = controlRow(full_);
    row->addWidget(new QLabel(tr("Show all results"), full_));
    with_->setObjectName(QStringLiteral("exclusions.with"));
    without_->setObjectName(QStringLiteral("exclusions.without"));
    row->addWidget(with_);
    row->addWidget(without_);
    row->addStretch(1);
    again_->setObjectName(QStringLiteral("exclusions.again"));
    again_->setToolTip(tr("Takes the exclusion in the chosen row away"));
    row->addWidget(again_);
    inner->addLayout(row);
    about_->setObjectName(QStringLiteral("exclusions.about"));
    about_->setWordWrap(true);
    inner->addWidget(about_);
    list_->setObjectName(QStringLiteral("exclusions.list"));
    list_->setAccessibleName(tr("Exclusions"));
    inner->addWidget(list_, 2);
    inner->addWidget(heading(tr("What difference it makes"), full_));
    effect_->setObjectName(QStringLiteral("exclusions.effect"));
    effect_->setAccessibleName(tr("Results with and without the exclusions"));
    inner->addWidget(effect_, 3);
    connect(without_, &QRadioButton::toggled, this, [this](bool on) { session_.ignoreExclusions(on); });
    connect(again_, &QPushButton::clicked, this, &ExclusionsPage::countAgain);
    connect(list_, &ResultView::rowChosen, this, &ExclusionsPage::showChoice);
    connect(&session_, &Session::studyOpened, this, &ExclusionsPage::showResults);
    connect(&session_, &Session::studyEdited, this, &ExclusionsPage::showResults);
    connect(&session_, &Session::resultsChanged, this, &ExclusionsPage::showResults);
    connect(&session_, &Session::planChanged, this, &ExclusionsPage::showChoice);
    showChoice();
}

void ExclusionsPage::showResults() {
    const bool some = session_.hasStudy() && !session_.study()->exclusions.empty();
    none_->setVisible(!some);
    full_->setVisible(some);
    if (some && session_.results() != nullptr) {
        list_->showResults(session_);
        effect_->showResults(session_);
    }
    showChoice();
}

void ExclusionsPage::showChoice() {
    const QSignalBlocker quietWith(with_);
    const QSignalBlocker quietWithout(without_);
    with_->setChecked(!session_.exclusionsIgnored());
    without_->setChecked(session_.exclusionsIgnored());
    again_->setEnabled(session_.hasStudy() && session_.readOnlyBecause().isEmpty() &&
                       list_->currentTableRow() >= 0 && !session_.exclusionsIgnored());
    about_->setText(
        session_.exclusionsIgnored()
            ? tr("All pages and exports now show the results as if nothing were excluded.")
            : tr("Excluded values stay in the tables; means, comparisons and indices leave them out."));
}

void ExclusionsPage::countAgain() {
    const int row = list_->currentTableRow();
    if (row >= 0 && static_cast<std::size_t>(row) < session_.study()->exclusions.size()) {
        askToCountAgain(session_, static_cast<std::size_t>(row), this);
    }
}

}  // namespace aftercurve
