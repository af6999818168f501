#include "ui/window/pages/measures_page.h"

#include <QHBoxLayout>
#include <QLabel>
#include <QSplitter>
#include <QVBoxLayout>

#include "ui/models/text.h"
#include "ui/window/figure_view.h"
#include "ui/window/result_view.h"

namespace aftercurve {

MeasuresPage::MeasuresPage(Session& session, QWidget* parent)
    : Page(session, parent),
      analyte_(new Chooser(tr("&Analyte"), QStringLiteral("measures.analyte"), this)),
      measures_(new ResultView(QStringLiteral("measures"), this)),
      summary_(new ResultView(QStringLiteral("summary"), this)),
      caption_(heading(QString(), this)),
      figure_(new FigureView(this)) {
    QVBoxLayout* column = pageColumn(this);
    QHBoxLayout* row = controlRow(this);
    row->addWidget(analyte_);
    row->addStretch(1);
    column->addLayout(row);

    auto* across = new QSplitter(Qt::Horizontal, this);
    auto* tables = new QSplitter(Qt::Vertical, across);
    const auto titled = [](QLabel* title, QWidget* below, QWidget* holder) {
        auto* both = new QWidget(holder);
        auto* stack = new QVBoxLayout(both);
        stack->setContentsMargins(0, 0, 0, 0);
        stack->addWidget(title);
        stack->addWidget(below, 1);
        return both;
    };
    tables->addWidget(titled(heading(tr("Each curve"), tables), measures_, tables));
    tables->addWidget(
        titled(heading(tr("By food, replicate visits averaged first"), tables), summary_, tables));
    tables->setStretchFactor(0, 3);
    tables->setStretchFactor(1, 2);
    across->addWidget(tables);
    across->addWidget(titled(caption_, figure_, across));
    across->setStretchFactor(0, 3);
    across->setStretchFactor(1, 2);
    across->setChildrenCollapsible(false);
    tables->setChildrenCollapsible(false);
    column->addWidget(across, 1);

    measures_->setHiddenColumns({"analyte"});
    summary_->setHiddenColumns({"analyte"});
    figure_->setObjectName(QStringLiteral("measures.figure"));
    caption_->setObjectName(QStringLiteral("measures.caption"));
    connect(analyte_, &Chooser::chosen, this, &MeasuresPage::filter);
    connect(measures_, &ResultView::rowChosen, this, &MeasuresPage::showCurve);
    connect(&session_, &Session::studyOpened, this, [this] { fillAnalytes(*analyte_, *session_.study()); });
    connect(&session_, &Session::studyOpened, this, &MeasuresPage::showResults);
    connect(&session_, &Session::resultsChanged, this, &MeasuresPage::showResults);
}

ResultView* MeasuresPage::table() {
    return summary_->hasFocus() ? summary_ : measures_;
}

void MeasuresPage::showResults() {
    measures_->showResults(session_);
    summary_->showResults(session_);
    filter();
    showCurve(measures_->currentTableRow());
}

void MeasuresPage::filter() {
    const std::string prefix = analyte_->value().empty() ? std::string() : analyte_->value() + "/";
    measures_->setRowFilter(prefix);
    summary_->setRowFilter(prefix);
}

void MeasuresPage::showCurve(int row) {
    const auto results = session_.results();
    if (!results || row < 0 || static_cast<std::size_t>(row) >= results->findings.curves.size()) {
        caption_->clear();
        figure_->showWords(QString());
        return;
    }
    // The table has one row a curve, in the order of the findings.
    const CurveFinding& curve = results->findings.curves[static_cast<std::size_t>(row)];
    caption_->setText(tr("Where the numbers of the chosen row come from"));
    FigureChoice choice;
    choice.analyte = curve.analyte;
    choice.subject = curve.subject;
    choice.food = curve.food;
    choice.visit = curve.visit;
    figure_->showFigure(results, "curves_increment", choice);
    if (!figure_->hasFigure() && !curve.notEstimable.empty()) {
        figure_->showWords(tr("Not estimable: %1").arg(shown(curve.notEstimable)));
    }
}

}  // namespace aftercurve
