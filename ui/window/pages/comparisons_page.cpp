#include "ui/window/pages/comparisons_page.h"

#include <QButtonGroup>
#include <QHBoxLayout>
#include <QLabel>
#include <QRadioButton>
#include <QSplitter>
#include <QStackedLayout>
#include <QVBoxLayout>

#include "core/findings/narrative.h"
#include "ui/models/text.h"
#include "ui/window/figure_view.h"
#include "ui/window/result_view.h"
#include "ui/window/statistics/working_panel.h"

namespace aftercurve {

namespace {

enum View { pairsView, estimatesView, workingView };

}  // namespace

ComparisonsPage::ComparisonsPage(Session& session, QWidget* parent)
    : Page(session, parent),
      stack_(new QStackedLayout(this)),
      empty_(new EmptyNotice(this)),
      comparisons_(new ResultView(QStringLiteral("comparisons"), this)),
      sentence_(resultSentence(QStringLiteral("comparisons.sentence"), tr("The comparison in words"), this)),
      pairs_(new ResultView(QStringLiteral("pairs"), this)),
      views_(new QButtonGroup(this)),
      right_(nullptr),
      figure_(new FigureView(this)),
      working_(new WorkingPanel(QStringLiteral("comparisons"), this)) {
    const int em = fontMetrics().height();
    pairs_->setHiddenColumns({"analyte", "measure", "unit", "food", "comparator"});
    auto* picture = new QWidget(this);
    auto* pictureColumn = new QVBoxLayout(picture);
    pictureColumn->setContentsMargins(0, em / 3, 0, 0);
    QHBoxLayout* row = controlRow(this);
    const struct {
        View view;
        QString text;
        QString name;
    } choices[] = {
        {pairsView, tr("Pairs of this row"), QStringLiteral("comparisons.paired")},
        {estimatesView, tr("All differences with intervals"), QStringLiteral("comparisons.estimates")},
        {workingView, tr("How a number came about"), QStringLiteral("comparisons.showWorking")}};
    for (const auto& choice : choices) {
        auto* button = new QRadioButton(choice.text, picture);
        button->setObjectName(choice.name);
        button->setAccessibleName(choice.text);
        views_->addButton(button, choice.view);
        row->addWidget(button);
    }
    views_->button(pairsView)->setChecked(true);
    row->addStretch(1);
    pictureColumn->addLayout(row);
    auto* right = new QWidget(picture);
    right_ = new QStackedLayout(right);
    right_->addWidget(figure_);
    right_->addWidget(working_);
    pictureColumn->addWidget(right, 1);
    working_->follow(pairs_);
    working_->follow(comparisons_);
    stack_->addWidget(tableOverDetail(this, comparisons_, sentence_, pairs_, picture));
    stack_->addWidget(empty_);

    figure_->setObjectName(QStringLiteral("comparisons.figure"));
    connect(comparisons_, &ResultView::rowChosen, this, &ComparisonsPage::showComparison);
    connect(views_, &QButtonGroup::idToggled, this, [this](int, bool on) {
        if (on) {
            showComparison(comparisons_->currentTableRow());
        }
    });
    connect(&session_, &Session::studyOpened, this, &ComparisonsPage::showResults);
    connect(&session_, &Session::resultsChanged, this, &ComparisonsPage::showResults);
}

FigureView* ComparisonsPage::figure() {
    return right_->currentWidget() == figure_ ? figure_ : nullptr;
}

ResultView* ComparisonsPage::table() {
    return pairs_->hasFocus() ? pairs_ : comparisons_;
}

void ComparisonsPage::showResults() {
    working_->showResults(session_.results());
    pairs_->showResults(session_);
    comparisons_->showResults(session_);
    const auto results = session_.results();
    const bool none = results && results->findings.comparisons.empty();
    if (none) {
        empty_->setWords(
            tr("Nothing to compare yet"),
            tr("%1\nChoose the comparator in the sentence above, or give one food the role “control” in "
               "study.json:")
                .arg(shown(results->table("comparisons")->emptyText)),
            QStringLiteral("{ \"id\": \"wheat-wafer\", \"label\": \"Wheat wafer\", \"role\": \"control\" }"));
        stack_->setCurrentWidget(empty_);
        return;
    }
    stack_->setCurrentIndex(0);
    showComparison(comparisons_->currentTableRow());
}

void ComparisonsPage::showComparison(int row) {
    right_->setCurrentWidget(views_->checkedId() == workingView ? static_cast<QWidget*>(working_) : figure_);
    const auto results = session_.results();
    if (!results || row < 0 || static_cast<std::size_t>(row) >= results->findings.comparisons.size()) {
        sentence_->clear();
        figure_->showWords(QString());
        return;
    }
    const auto at = static_cast<std::size_t>(row);
    const ComparisonFinding& comparison = results->findings.comparisons[at];
    sentence_->setText(
        keptTogether(shown(comparisonSentence(*results->study, results->findings.plan, comparison))));
    pairs_->setRowFilter(results->table("comparisons")->rows[at].key + "/");
    FigureChoice choice;
    choice.analyte = comparison.analyte;
    choice.measure = comparison.measure;
    const bool pairs = views_->checkedId() == pairsView;
    if (pairs) {
        choice.food = comparison.food;
    }
    figure_->showFigure(results, pairs ? "comparison_paired" : "comparison_estimates", choice);
}

}  // namespace aftercurve
