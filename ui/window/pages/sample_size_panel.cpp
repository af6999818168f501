#include "ui/window/pages/sample_size_panel.h"

#include <QCheckBox>
#include <QClipboard>
#include <QComboBox>
#include <QGuiApplication>
#include <QHBoxLayout>
#include <QLabel>
#include <QPushButton>
#include <QScrollArea>
#include <QSignalBlocker>
#include <QVBoxLayout>
#include <QtConcurrent>
#include <filesystem>

#include "core/files/study_folder.h"
#include "core/planning/planning_sentence.h"
#include "ui/models/text.h"
#include "ui/window/figure_view.h"
#include "ui/window/pages/page.h"
#include "ui/window/pages/planning_form.h"
#include "ui/window/session.h"
#include "ui/window/window_setup.h"

namespace aftercurve {

namespace {

enum Kind { difference, foods, equivalence, nonInferiority, interval, index };

OfferedSpreads spreadsOf(const Study& study, const Findings& findings) {
    OfferedSpreads offered;
    const std::string analyte = study.analytes.empty() ? std::string{} : study.analytes.front().id;
    for (EarlierSpread& spread : earlierSpreads(study, findings, analyte, findings.plan.measure)) {
        const QString sentence = shown(sentenceFor(spread, study, findings.plan.alpha));
        offered.list.push_back({std::move(spread), sentence});
    }
    if (offered.list.empty()) {
        offered.failure = SampleSizePanel::tr("The study compares nothing, so it holds no scatter.");
    }
    return offered;
}

OfferedSpreads spreadsIn(const QString& folder) {
    OfferedSpreads offered;
    const auto failed = [&](const Problem& problem) {
        offered.failure = shown(lineFor(problem));
        return offered;
    };
    const StudyReading reading = readStudyFolder(std::filesystem::path(folder.toStdU16String()));
    if (!reading.study) {
        return failed(reading.problems.empty() ? Problem{} : reading.problems.front());
    }
    const Result<Findings> findings = analyse(*reading.study, reading.study->plan);
    if (!findings) {
        return failed(findings.problem());
    }
    return spreadsOf(*reading.study, findings.value());
}

void addWords(QComboBox& box, const QStringList& words) {
    for (const QString& word : words) {
        box.addItem(word);
    }
}

}  // namespace

SampleSizePanel::SampleSizePanel(Session& session, const WindowSetup& setup, QWidget* parent)
    : QWidget(parent),
      session_(session),
      setup_(setup),
      form_(new PlanningForm(this)),
      kind_(new QComboBox(this)),
      scale_(new QComboBox(this)),
      better_(new QComboBox(this)),
      spreadKind_(new QComboBox(this)),
      periods_(new QCheckBox(tr("Periods are taken out"), this)),
      earlierRow_(new QWidget(this)),
      earlier_(new QPushButton(tr("From an earlier study…"), earlierRow_)),
      openStudy_(new QPushButton(tr("From the open study"), earlierRow_)),
      offeredBox_(new QComboBox(this)),
      earlierText_(
          resultSentence(QStringLiteral("planning.earlierText"), tr("Where the scatter is from"), this)),
      answer_(resultSentence(QStringLiteral("planning.answer"), tr("Number of subjects in words"), this)),
      forN_(resultSentence(QStringLiteral("planning.forN"), tr("Power with the subjects there are"), this)),
      copy_(new QPushButton(tr("Copy the sentence"), this)),
      figure_(new FigureView(this)) {
    Results none;
    none.study = std::make_shared<const Study>();
    noStudy_ = std::make_shared<const Results>(std::move(none));
    buildForm();
    buildEarlier();
    const int em = fontMetrics().height();
    auto* row = new QHBoxLayout(this);
    row->setContentsMargins(0, em / 2, 0, 0);
    row->setSpacing(em);
    row->addWidget(form_->inScrollArea(tr("Numbers put in"), this), 2);
    auto* column = new QVBoxLayout;
    copy_->setObjectName(QStringLiteral("planning.copy"));
    figure_->setObjectName(QStringLiteral("planning.figure"));
    auto* buttons = new QHBoxLayout;
    buttons->addWidget(copy_);
    buttons->addStretch(1);
    column->addWidget(answer_);
    column->addWidget(forN_);
    column->addLayout(buttons);
    column->addWidget(figure_, 1);
    row->addLayout(column, 3);
    connect(copy_, &QPushButton::clicked, this, [this] {
        const QString more = forN_->text().isEmpty() ? QString() : u' ' + forN_->text();
        QGuiApplication::clipboard()->setText(answer_->text() + more);
    });
    connect(form_, &PlanningForm::edited, this, &SampleSizePanel::answer);
    for (QComboBox* box : {scale_, better_, spreadKind_}) {
        connect(box, &QComboBox::currentIndexChanged, this, &SampleSizePanel::answer);
    }
    connect(scale_, &QComboBox::currentIndexChanged, this, &SampleSizePanel::showRows);
    connect(spreadKind_, &QComboBox::currentIndexChanged, this, &SampleSizePanel::showRows);
    connect(periods_, &QCheckBox::toggled, this, &SampleSizePanel::answer);
    connect(kind_, &QComboBox::currentIndexChanged, this, &SampleSizePanel::showRows);
    connect(&reading_, &QFutureWatcherBase::finished, this, [this] { offer(reading_.result()); });
    connect(&session_, &Session::resultsChanged, this,
            [this] { openStudy_->setEnabled(session_.results() != nullptr); });
    showRows();
}

SampleSizePanel::~SampleSizePanel() {
    reading_.disconnect(this);
    reading_.waitForFinished();
}

void SampleSizePanel::buildForm() {
    addWords(*kind_,
             {tr("Do two foods differ?"), tr("Do several foods differ?"), tr("Are two foods equivalent?"),
              tr("Is a food not worse?"), tr("How exact is a difference?"), tr("How exact is an index?")});
    form_->addRow(tr("Question"), kind_, "planning.question");
    addWords(*scale_, {tr("by difference"), tr("by ratio")});
    form_->addRow(tr("Compared"), scale_, "planning.scale");
    difference_ = form_->addField(tr("True difference"), "planning.difference", QStringLiteral("40"));
    foods_ = form_->addField(tr("Number of foods"), "planning.foodCount", QStringLiteral("3"));
    range_ = form_->addField(tr("Largest − smallest mean"), "planning.range", QStringLiteral("40"));
    low_ = form_->addField(tr("Lower limit"), "planning.low", QStringLiteral("-30"));
    high_ = form_->addField(tr("Upper limit"), "planning.high", QStringLiteral("30"));
    limit_ = form_->addField(tr("Limit, just too bad"), "planning.limit", QStringLiteral("30"));
    addWords(*better_, {tr("lower values"), tr("higher values")});
    form_->addRow(tr("Better are"), better_, "planning.better");
    expected_ = form_->addField(tr("True value"), "planning.true", QStringLiteral("0"));
    halfWidth_ =
        form_->addField(tr("Half-width of the interval"), "planning.halfWidth", QStringLiteral("25"));
    assurance_ = form_->addField(tr("Reached with probability"), "planning.assurance", {},
                                 tr("none: by the SD put in"));
    addWords(*spreadKind_,
             {tr("SD of differences"), tr("SD within a subject"), tr("CV within a subject, %")});
    form_->addRow(tr("Scatter is a"), spreadKind_, "planning.spreadKind");
    spread_ = form_->addField(tr("Scatter"), "planning.spread", QStringLiteral("45"));
    mean_ = form_->addField(tr("Expected mean index"), "planning.mean", QStringLiteral("60"));
    form_->addWide(earlierRow_);
    form_->addWide(offeredBox_);
    form_->addWide(earlierText_);
    unit_ = form_->addField(tr("Unit"), "planning.unit", QStringLiteral("mmol/L × min"));
    form_->addWide(periods_);
    periods_->setObjectName(QStringLiteral("planning.periods"));
    comparisons_ =
        form_->addField(tr("Pairs that share the level"), "planning.comparisons", QStringLiteral("1"));
    alpha_ = form_->addField(tr("Level"), "planning.alpha", QStringLiteral("0.05"));
    power_ = form_->addField(tr("Power asked for"), "planning.power", QStringLiteral("0.8"));
    dropout_ = form_->addField(tr("Share that drops out"), "planning.dropout", QStringLiteral("0.1"));
    multiple_ = form_->addField(tr("Enrol a multiple of"), "planning.multiple", QStringLiteral("1"));
    n_ = form_->addField(tr("Subjects there are"), "planning.n", {}, tr("none: leave empty"));
}

void SampleSizePanel::buildEarlier() {
    auto* row = new QHBoxLayout(earlierRow_);
    row->setContentsMargins(0, 0, 0, 0);
    row->addWidget(earlier_);
    row->addWidget(openStudy_);
    row->addStretch(1);
    earlier_->setObjectName(QStringLiteral("planning.earlier"));
    openStudy_->setObjectName(QStringLiteral("planning.openStudy"));
    openStudy_->setEnabled(false);
    offeredBox_->setObjectName(QStringLiteral("planning.offered"));
    offeredBox_->setAccessibleName(tr("Scatter of the earlier study"));
    offeredBox_->setSizeAdjustPolicy(QComboBox::AdjustToMinimumContentsLengthWithIcon);
    offeredBox_->setMinimumContentsLength(20);
    offeredBox_->hide();
    earlierText_->hide();
    connect(earlier_, &QPushButton::clicked, this, &SampleSizePanel::takeEarlierStudy);
    connect(openStudy_, &QPushButton::clicked, this, &SampleSizePanel::takeOpenStudy);
    connect(offeredBox_, &QComboBox::currentIndexChanged, this, &SampleSizePanel::takeSpread);
}

void SampleSizePanel::showRows() {
    const int kind = kind_->currentIndex();
    const bool scaled = kind == Kind::equivalence || kind == nonInferiority;
    const bool ratio = scaled && scale_->currentIndex() == 1;
    const bool isInterval = kind == interval || kind == index;
    const std::pair<QWidget*, bool> rows[]{
        {scale_, scaled},
        {difference_, kind == difference},
        {foods_, kind == foods},
        {range_, kind == foods},
        {low_, kind == Kind::equivalence},
        {high_, kind == Kind::equivalence},
        {limit_, kind == nonInferiority},
        {better_, kind == nonInferiority},
        {expected_, scaled},
        {halfWidth_, isInterval},
        {assurance_, isInterval},
        {spreadKind_, kind != foods},
        {mean_, kind == index && spreadKind_->currentIndex() == 1},
        {unit_, kind != index},
        {comparisons_, kind == difference},
        {power_, !isInterval},
    };
    for (const auto& [field, shown] : rows) {
        form_->setRowShown(field, shown);
    }
    form_->setRowShown(periods_, kind != index);
    // What differs by question is put in anew where the question changes, and the rest stays.
    const int state = kind * 2 + (ratio ? 1 : 0);
    if (state != lastKind_) {
        lastKind_ = state;
        const QSignalBlocker quietKind(spreadKind_);
        const QSignalBlocker quietForm(form_);
        const int before = spreadKind_->currentIndex();
        spreadKind_->clear();
        if (kind == index) {
            addWords(*spreadKind_, {tr("SD between subjects"), tr("CV between subjects, %")});
        } else {
            addWords(*spreadKind_, {tr("SD of differences"), tr("SD within a subject")});
            if (ratio) {
                addWords(*spreadKind_, {tr("CV within a subject, %")});
            }
        }
        spreadKind_->setCurrentIndex(ratio ? 2 : std::min(std::max(before, 0), 1));
        alpha_->setText(kind == nonInferiority ? QStringLiteral("0.025") : QStringLiteral("0.05"));
        if (ratio) {
            low_->setText(QStringLiteral("0.8"));
            high_->setText(QStringLiteral("1.25"));
            limit_->setText(QStringLiteral("1.25"));
            expected_->setText(QStringLiteral("1"));
            spread_->setText(QStringLiteral("25"));
        } else if (scaled) {
            low_->setText(QStringLiteral("-30"));
            high_->setText(QStringLiteral("30"));
            limit_->setText(QStringLiteral("30"));
            expected_->setText(QStringLiteral("0"));
        }
        halfWidth_->setText(kind == index ? QStringLiteral("10") : QStringLiteral("25"));
        if (kind == index) {
            spread_->setText(QStringLiteral("20"));
            spreadKind_->setCurrentIndex(0);
        } else if (!ratio && spread_->text() == QStringLiteral("25")) {
            spread_->setText(QStringLiteral("45"));
        }
        form_->setRowShown(mean_, false);
    }
    answer();
}

PlanningQuestion SampleSizePanel::question(FieldReading& read) const {
    const TwoFoodDesign design = periods_->isChecked() ? TwoFoodDesign::crossover : TwoFoodDesign::paired;
    const double alpha = read.number(*alpha_);
    const double scatter = read.number(*spread_);
    const auto kindOfSpread = static_cast<SpreadKind>(std::max(0, spreadKind_->currentIndex()));
    const Spread spread{kindOfSpread, scatter};
    const PlanningScale scale =
        scale_->currentIndex() == 1 ? PlanningScale::ratio : PlanningScale::difference;
    switch (kind_->currentIndex()) {
        case foods: {
            const std::size_t count = std::min(read.whole(*foods_), mostFoods + 1);
            return FoodsQuestion{leastFavourableMeans(count, read.number(*range_)), scatter,
                                 periods_->isChecked(), alpha};
        }
        case Kind::equivalence:
            return EquivalenceQuestion{
                scale, read.number(*low_), read.number(*high_), read.number(*expected_), spread, design,
                alpha};
        case nonInferiority:
            return NonInferiorityQuestion{scale,
                                          read.number(*limit_),
                                          read.number(*expected_),
                                          better_->currentIndex() == 0,
                                          spread,
                                          design,
                                          alpha};
        case interval:
            return IntervalQuestion{read.number(*halfWidth_), spread, design, alpha, read.maybe(*assurance_)};
        case index: {
            const double sd =
                spreadKind_->currentIndex() == 1 ? sdOfIndex(scatter, read.number(*mean_)) : scatter;
            return IndexQuestion{read.number(*halfWidth_), sd, alpha, read.maybe(*assurance_)};
        }
        default:
            return DifferenceQuestion{read.number(*difference_), spread, design, alpha,
                                      read.whole(*comparisons_)};
    }
}

void SampleSizePanel::answer() {
    FieldReading read;
    const PlanningQuestion asked = question(read);
    const bool isInterval = kind_->currentIndex() == interval || kind_->currentIndex() == index;
    SizeRequest request;
    request.power = isInterval ? 0.8 : read.number(*power_);
    request.dropout = read.number(*dropout_);
    request.multipleOf = read.whole(*multiple_);
    const bool withN = !n_->text().trimmed().isEmpty();
    const std::size_t n = withN ? read.whole(*n_) : 0;
    forN_->setVisible(withN);
    forN_->clear();
    if (!read.fault().isEmpty()) {
        answer_->setText(read.fault());
        figure_->showWords(read.fault());
        Q_EMIT answered();
        return;
    }
    const std::string unit = plain(unit_->text());
    answer_->setText(shown(sizeSentence(asked, request, subjectsFor(asked, request), unit)));
    if (withN) {
        forN_->setText(shown(powerSentence(asked, n, powerWith(asked, n), unit)) + u' ' +
                       shown(detectableSentence(asked, n, request.power,
                                                detectableWith(asked, n, request.power), unit)));
    }
    auto curve = std::make_shared<const PowerCurve>(
        powerCurve(asked, request, isInterval && kind_->currentIndex() == index ? std::string{} : unit));
    if (curve->points.empty()) {
        figure_->showWords(shown(curve->absentBecause));
    } else {
        FigureChoice choice;
        choice.planning = std::move(curve);
        figure_->showFigure(noStudy_, "planning_power", choice);
    }
    Q_EMIT answered();
}

void SampleSizePanel::takeEarlierStudy() {
    const QString folder =
        setup_.askFolder(this, setup_.settings->value(QStringLiteral("lastStudyFolder")).toString());
    if (folder.isEmpty() || reading_.isRunning()) {
        return;
    }
    earlierText_->show();
    earlierText_->setText(tr("Reading …"));
    reading_.setFuture(QtConcurrent::run([folder] { return spreadsIn(folder); }));
}

void SampleSizePanel::takeOpenStudy() {
    if (const auto results = session_.results()) {
        offer(spreadsOf(*results->study, results->findings));
    }
}

void SampleSizePanel::offer(const OfferedSpreads& offered) {
    offered_ = offered.list;
    {
        const QSignalBlocker quiet(offeredBox_);
        offeredBox_->clear();
        for (const OfferedSpread& one : offered_) {
            offeredBox_->addItem(one.sentence);
        }
        offeredBox_->setCurrentIndex(-1);
    }
    offeredBox_->setVisible(!offered_.empty());
    earlierText_->setVisible(true);
    earlierText_->setText(offered.failure);
    // The first that answers the question.
    const int kind = kind_->currentIndex();
    const bool ratio = (kind == Kind::equivalence || kind == nonInferiority) && scale_->currentIndex() == 1;
    for (std::size_t i = 0; i < offered_.size(); ++i) {
        const EarlierSpread& one = offered_[i].spread;
        const bool ofIndex = one.source == SpreadSource::indexValues;
        if (one.spread && ofIndex == (kind == index) &&
            (kind != foods || one.spread->kind == SpreadKind::sdWithin) &&
            (one.spread->kind == SpreadKind::cvWithin) == ratio) {
            offeredBox_->setCurrentIndex(static_cast<int>(i));
            return;
        }
    }
    if (!offered_.empty()) {
        earlierText_->setText(
            tr("None of these answers this question; choose another question, or one by hand."));
    }
}

void SampleSizePanel::takeSpread(int at) {
    if (at < 0 || static_cast<std::size_t>(at) >= offered_.size()) {
        return;
    }
    const OfferedSpread& one = offered_[static_cast<std::size_t>(at)];
    earlierText_->setText(one.sentence);
    if (!one.spread.spread) {
        return;
    }
    const bool ofIndex = one.spread.source == SpreadSource::indexValues;
    const Spread& spread = *one.spread.spread;
    if (ofIndex != (kind_->currentIndex() == index) ||
        (kind_->currentIndex() == foods && spread.kind != SpreadKind::sdWithin) ||
        (spread.kind == SpreadKind::cvWithin && spreadKind_->count() < 3)) {
        earlierText_->setText(
            tr("%1. It does not answer this question and was not taken.").arg(one.sentence));
        return;
    }
    const QSignalBlocker quietKind(spreadKind_);
    const QSignalBlocker quietForm(form_);
    if (kind_->currentIndex() != foods) {
        spreadKind_->setCurrentIndex(ofIndex ? 0 : static_cast<int>(spread.kind));
    }
    spread_->setText(QString::number(spread.value, 'g', 10));
    if (!ofIndex && spread.kind != SpreadKind::cvWithin) {
        unit_->setText(shown(one.spread.unit));
    }
    answer();
}

}  // namespace aftercurve
