#include "ui/window/pages/index_page.h"

#include <QLabel>
#include <QSplitter>
#include <QStackedLayout>

#include "core/findings/narrative.h"
#include "ui/models/text.h"
#include "ui/window/figure_view.h"
#include "ui/window/result_view.h"

namespace aftercurve {

IndexPage::IndexPage(Session& session, QWidget* parent)
    : Page(session, parent),
      stack_(new QStackedLayout(this)),
      empty_(new EmptyNotice(this)),
      index_(new ResultView(QStringLiteral("index"), this)),
      sentence_(resultSentence(QStringLiteral("index.sentence"), tr("The index in words"), this)),
      subjects_(new ResultView(QStringLiteral("index_subjects"), this)),
      figure_(new FigureView(this)) {
    subjects_->setHiddenColumns({"analyte", "food"});
    stack_->addWidget(tableOverDetail(this, index_, sentence_, subjects_, figure_));
    stack_->addWidget(empty_);
    figure_->setObjectName(QStringLiteral("index.figure"));
    empty_->setObjectName(QStringLiteral("index.empty"));
    connect(index_, &ResultView::rowChosen, this, &IndexPage::showFood);
    connect(&session_, &Session::studyOpened, this, &IndexPage::showResults);
    connect(&session_, &Session::resultsChanged, this, &IndexPage::showResults);
}

ResultView* IndexPage::table() {
    return subjects_->hasFocus() ? subjects_ : index_;
}

void IndexPage::showResults() {
    subjects_->showResults(session_);
    index_->showResults(session_);
    const auto results = session_.results();
    if (results && results->findings.index.empty()) {
        const QString example = QStringLiteral(
            "{ \"id\": \"glucose-drink\", \"label\": \"Glucose drink\", \"role\": \"reference\" }");
        if (!results->findings.plan.index) {
            empty_->setWords(
                tr("No index in this plan"),
                tr("The plan does not ask for an index. Choose what to do with its outliers at the end of "
                   "the sentence "
                   "above, and it is computed. It needs a reference food; in study.json that is written so:"),
                example);
        } else {
            empty_->setWords(
                tr("No reference food"),
                tr("An index needs a food that every subject took as the reference. Give that food the role "
                   "“reference” in study.json, then open the study again:"),
                example);
        }
        stack_->setCurrentWidget(empty_);
        return;
    }
    stack_->setCurrentIndex(0);
    showFood(index_->currentTableRow());
}

void IndexPage::showFood(int row) {
    const auto results = session_.results();
    if (!results || row < 0 || static_cast<std::size_t>(row) >= results->findings.index.size()) {
        sentence_->clear();
        figure_->showWords(QString());
        return;
    }
    const IndexFinding& finding = results->findings.index[static_cast<std::size_t>(row)];
    sentence_->setText(keptTogether(shown(indexSentence(*results->study, results->findings.plan, finding))));
    subjects_->setRowFilter(finding.analyte + "/" + finding.food + "/");
    FigureChoice choice;
    choice.analyte = finding.analyte;
    figure_->showFigure(results, "index", choice);
}

}  // namespace aftercurve
