#include "ui/window/pages/curves_page.h"

#include <QButtonGroup>
#include <QComboBox>
#include <QRadioButton>
#include <QVBoxLayout>
#include <set>

#include "ui/figures/curves_subjects.h"
#include "ui/models/text.h"
#include "ui/window/figure_view.h"
#include "ui/window/flow_layout.h"

namespace aftercurve {

namespace {

enum View { eachSubject, meanView, incrementView };
constexpr const char* figureOf[] = {"curves_subjects", "curves_mean", "curves_increment"};

}  // namespace

CurvesPage::CurvesPage(Session& session, QWidget* parent)
    : Page(session, parent),
      views_(new QButtonGroup(this)),
      analyte_(new Chooser(tr("&Analyte"), QStringLiteral("curves.analyte"), this)),
      subject_(new Chooser(tr("S&ubject"), QStringLiteral("curves.subject"), this)),
      food_(new Chooser(tr("F&ood"), QStringLiteral("curves.food"), this)),
      visit_(new Chooser(tr("&Visit"), QStringLiteral("curves.visit"), this)),
      page_(new Chooser(tr("Sub&jects shown"), QStringLiteral("curves.page"), this)),
      figure_(new FigureView(this)) {
    QVBoxLayout* column = pageColumn(this);
    const int em = fontMetrics().height();
    auto* controls = new QWidget(this);
    auto* row = new FlowLayout(controls, em, em / 3);
    const struct {
        View view;
        QString text;
        QString name;
    } choices[] = {{meanView, tr("Mean ± SEM"), QStringLiteral("curves.mean")},
                   {eachSubject, tr("Each subject"), QStringLiteral("curves.each")},
                   {incrementView, tr("Increment and counted area"), QStringLiteral("curves.increment")}};
    for (const auto& choice : choices) {
        auto* button = new QRadioButton(choice.text, this);
        button->setObjectName(choice.name);
        button->setAccessibleName(choice.text);
        views_->addButton(button, choice.view);
        row->addWidget(button);
    }
    views_->button(meanView)->setChecked(true);
    for (Chooser* chooser : {analyte_, subject_, food_, visit_, page_}) {
        row->addWidget(chooser);
        connect(chooser, &Chooser::chosen, this, [this, chooser] {
            if (chooser != visit_ && chooser != page_) {
                fillVisits();
            }
            redraw();
        });
    }
    column->addWidget(controls);
    column->addWidget(figure_, 1);
    figure_->setObjectName(QStringLiteral("curves.figure"));
    connect(views_, &QButtonGroup::idToggled, this, [this](int, bool on) {
        if (on) {
            redraw();
        }
    });
    connect(&session_, &Session::studyOpened, this, &CurvesPage::fill);
    connect(&session_, &Session::resultsChanged, this, [this] {
        fillVisits();
        redraw();
    });
}

void CurvesPage::fill() {
    const Study& study = *session_.study();
    fillAnalytes(*analyte_, study);
    subject_->clear();
    subject_->add(tr("mean of all subjects"), "");
    for (const Subject& subject : study.subjects) {
        subject_->add(shown(subject.id), subject.id);
    }
    food_->clear();
    food_->add(tr("all foods"), "");
    for (const Food& food : study.foods) {
        food_->add(shown(food.label), food.id);
    }
    fillVisits();
    redraw();
}

void CurvesPage::showCurvesOf(const RowSubject& about) {
    {
        const auto choose = [](Chooser& chooser, const std::string& value) {
            const QSignalBlocker quiet(&chooser.box());
            chooser.box().setCurrentIndex(std::max(0, chooser.box().findData(shown(value))));
        };
        choose(*analyte_, about.analyte);
        choose(*food_, about.food);
        choose(*subject_, about.subject);
        const QSignalBlocker quiet(views_);
        views_->button(!about.subject.empty() ? incrementView
                       : !about.food.empty()  ? eachSubject
                                              : meanView)
            ->setChecked(true);
    }
    fillVisits();
    redraw();
}

void CurvesPage::fillVisits() {
    std::set<int> visits;
    if (const auto results = session_.results()) {
        for (const CurveFinding& curve : results->findings.curves) {
            const bool fits = curve.subject == subject_->value() && curve.analyte == analyte_->value() &&
                              (food_->value().empty() || curve.food == food_->value());
            if (fits) {
                visits.insert(curve.visit);
            }
        }
    }
    const std::string kept = visit_->value();
    visit_->clear();
    for (const int visit : visits) {
        visit_->add(QString::number(visit), std::to_string(visit));
    }
    const QSignalBlocker quiet(&visit_->box());
    visit_->box().setCurrentIndex(std::max(0, visit_->box().findData(shown(kept))));
}

void CurvesPage::fillPages(const FigureChoice& choice) {
    const auto results = session_.results();
    const int pages = results ? pagesOfSubjects(*results->study, results->findings, choice) : 1;
    if (page_->box().count() != pages) {
        const std::string kept = page_->value();
        page_->clear();
        for (int page = 1; page <= pages; ++page) {
            const auto last = static_cast<int>(mostSubjectPanels) * page;
            const int first = last - static_cast<int>(mostSubjectPanels) + 1;
            page_->add(page < pages ? tr("%1 to %2").arg(first).arg(last) : tr("%1 and on").arg(first),
                       std::to_string(page));
        }
        const QSignalBlocker quiet(&page_->box());
        page_->box().setCurrentIndex(std::max(0, page_->box().findData(shown(kept))));
    }
    page_->setVisible(pages > 1);
}

void CurvesPage::redraw() {
    const auto view = static_cast<View>(views_->checkedId());
    subject_->setVisible(view == incrementView);
    food_->setVisible(view != meanView);
    visit_->setVisible(view == incrementView && !subject_->value().empty() && visit_->box().count() > 1);
    FigureChoice choice;
    choice.analyte = analyte_->value();
    if (view != meanView) {
        choice.food = food_->value();
    }
    if (view == incrementView) {
        choice.subject = subject_->value();
        choice.visit = choice.subject.empty() ? 0 : shown(visit_->value()).toInt();
    }
    page_->hide();
    if (view == eachSubject) {
        fillPages(choice);
        choice.page = shown(page_->value()).toInt();
    }
    figure_->showFigure(session_.results(), figureOf[view], choice);
}

}  // namespace aftercurve
