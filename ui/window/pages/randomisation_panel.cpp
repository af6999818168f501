#include "ui/window/pages/randomisation_panel.h"

#include <QCheckBox>
#include <QComboBox>
#include <QDir>
#include <QFontDatabase>
#include <QHBoxLayout>
#include <QLabel>
#include <QPlainTextEdit>
#include <QPushButton>
#include <QScrollArea>
#include <QSplitter>
#include <QTableView>
#include <QVBoxLayout>
#include <filesystem>

#include "core/planning/check_design.h"
#include "core/planning/schedule_files.h"
#include "ui/models/result_table_model.h"
#include "ui/models/text.h"
#include "ui/window/pages/page.h"
#include "ui/window/pages/planning_form.h"
#include "ui/window/result_view.h"
#include "ui/window/session.h"
#include "ui/window/window_setup.h"

namespace aftercurve {

namespace {

/// Notes and warnings in words, then the counts.
QString checkWords(const DesignCheck& check, const std::vector<Problem>& more) {
    QString text;
    for (const auto* list : {&more, &check.findings}) {
        for (const Problem& problem : *list) {
            text += shown(lineFor(problem)) + u'\n';
        }
    }
    if (check.findings.empty()) {
        text += RandomisationPanel::tr("Nothing is unbalanced.") + u'\n';
    }
    return text + u'\n' + shown(textOf(check));
}

QString problemWords(const std::vector<Problem>& problems) {
    QStringList lines;
    for (const Problem& problem : problems) {
        lines << shown(lineFor(problem));
    }
    return lines.join(u'\n');
}

}  // namespace

RandomisationPanel::RandomisationPanel(Session& session, const WindowSetup& setup, QWidget* parent)
    : QWidget(parent),
      session_(session),
      setup_(setup),
      form_(new PlanningForm(this)),
      design_(new QComboBox(this)),
      sealed_(new QCheckBox(tr("Sealed list, with the key in a folder of its own"), this)),
      ofStudy_(new QPushButton(tr("Foods of the open study"), this)),
      save_(new QPushButton(tr("Save schedule…"), this)),
      check_(new QPushButton(tr("Check a schedule…"), this)),
      words_(resultSentence(QStringLiteral("planning.scheduleWords"), tr("The schedule in words"), this)),
      view_(new QTableView(this)),
      table_(new ResultTableModel(this)),
      balance_(new QPlainTextEdit(this)) {
    buildForm();
    const int em = fontMetrics().height();
    auto* row = new QHBoxLayout(this);
    row->setContentsMargins(0, em / 2, 0, 0);
    row->setSpacing(em);
    row->addWidget(form_->inScrollArea(tr("What is put in"), this), 2);

    view_->setObjectName(QStringLiteral("planning.schedule"));
    view_->setAccessibleName(tr("Schedule"));
    view_->setModel(table_);
    setTableManners(*view_);
    view_->setSortingEnabled(false);
    balance_->setObjectName(QStringLiteral("planning.balance"));
    balance_->setAccessibleName(tr("Balance of the schedule"));
    balance_->setReadOnly(true);
    balance_->setLineWrapMode(QPlainTextEdit::NoWrap);
    balance_->setFont(QFontDatabase::systemFont(QFontDatabase::FixedFont));
    balance_->setTabStopDistance(fontMetrics().averageCharWidth() * 14);
    balance_->setTabChangesFocus(true);
    auto* right = new QSplitter(Qt::Vertical, this);
    right->setChildrenCollapsible(false);
    right->addWidget(view_);
    right->addWidget(balance_);
    right->setStretchFactor(0, 3);
    right->setStretchFactor(1, 2);
    auto* column = new QVBoxLayout;
    auto* buttons = new QHBoxLayout;
    save_->setObjectName(QStringLiteral("planning.saveSchedule"));
    check_->setObjectName(QStringLiteral("planning.checkFile"));
    buttons->addWidget(save_);
    buttons->addWidget(check_);
    buttons->addStretch(1);
    column->addWidget(words_);
    column->addLayout(buttons);
    column->addWidget(right, 1);
    row->addLayout(column, 3);

    connect(form_, &PlanningForm::edited, this, &RandomisationPanel::draw);
    connect(design_, &QComboBox::currentIndexChanged, this, &RandomisationPanel::draw);
    connect(sealed_, &QCheckBox::toggled, this, &RandomisationPanel::draw);
    connect(save_, &QPushButton::clicked, this, &RandomisationPanel::save);
    connect(check_, &QPushButton::clicked, this, &RandomisationPanel::checkFile);
    connect(ofStudy_, &QPushButton::clicked, this, &RandomisationPanel::takeFoods);
    connect(&session_, &Session::studyOpened, this, [this] { ofStudy_->setEnabled(true); });
    draw();
}

void RandomisationPanel::buildForm() {
    foods_ = form_->addField(tr("Foods"), "planning.foods", QStringLiteral("drink, barley, pea"),
                             tr("names, comma between"));
    ofStudy_->setObjectName(QStringLiteral("planning.foodsOfStudy"));
    ofStudy_->setEnabled(session_.hasStudy());
    form_->addWide(ofStudy_);
    subjects_ = form_->addField(tr("Subjects"), "planning.subjects", QStringLiteral("24"));
    strata_ = form_->addField(tr("Strata"), "planning.strata", {}, tr("none, or women:12, men:12"));
    for (const SequenceDesign design :
         {SequenceDesign::williams, SequenceDesign::cyclic, SequenceDesign::permutations}) {
        const QString words = design == SequenceDesign::williams ? tr("balanced for carry-over (Williams)")
                              : design == SequenceDesign::cyclic ? tr("cyclic Latin square")
                                                                 : tr("all orders");
        design_->addItem(words, shown(wordFor(design)));
    }
    form_->addRow(tr("Design"), design_, "planning.design");
    block_ = form_->addField(tr("Subjects of a block"), "planning.block", {}, tr("each sequence once"));
    seed_ = form_->addField(tr("Seed"), "planning.seed", QStringLiteral("1"));
    prefix_ = form_->addField(tr("Codes begin with"), "planning.prefix", {}, tr("nothing: 01, 02, …"));
    sealed_->setObjectName(QStringLiteral("planning.sealed"));
    form_->addWide(sealed_);
}

ScheduleOptions RandomisationPanel::options(QString& fault) const {
    ScheduleOptions options;
    for (const QString& food : foods_->text().split(u',')) {
        options.foods.push_back(plain(food.trimmed()));
    }
    FieldReading read;
    if (strata_->text().trimmed().isEmpty()) {
        options.strata.push_back({"", read.whole(*subjects_)});
    } else {
        for (const QString& text : strata_->text().split(u',')) {
            bool ok = false;
            const qulonglong subjects = text.section(u':', -1).trimmed().toULongLong(&ok);
            if (!ok || !text.contains(u':')) {
                fault =
                    tr("Strata: “%1” has no number of subjects; write women:12, men:12").arg(text.trimmed());
            }
            options.strata.push_back(
                {plain(text.section(u':', 0, -2).trimmed()), static_cast<std::size_t>(subjects)});
        }
    }
    options.design =
        sequenceDesignFrom(plain(design_->currentData().toString())).value_or(SequenceDesign::williams);
    options.block = block_->text().trimmed().isEmpty() ? 0 : read.whole(*block_);
    options.seed = read.whole(*seed_);
    options.prefix = plain(prefix_->text());
    fault = fault.isEmpty() ? read.fault() : fault;
    return options;
}

void RandomisationPanel::draw() {
    schedule_.reset();
    subjects_->setEnabled(strata_->text().trimmed().isEmpty());
    QString fault;
    const ScheduleOptions wanted = options(fault);
    if (fault.isEmpty()) {
        const auto problems = validate(wanted);
        fault = problemWords(problems);
    }
    if (fault.isEmpty()) {
        const Result<Schedule> made = makeSchedule(wanted);
        if (made) {
            schedule_ = made.value();
        } else {
            fault = shown(lineFor(made.problem()));
        }
    }
    save_->setEnabled(schedule_.has_value());
    if (!schedule_) {
        words_->setText(fault);
        table_->setTable(nullptr, {});
        balance_->clear();
        return;
    }
    showSchedule();
}

void RandomisationPanel::showSchedule() {
    const bool sealed = sealed_->isChecked();
    table_->setTable(
        std::make_shared<const Table>(sealed ? sealedTable(*schedule_) : scheduleTable(*schedule_)), {});
    fitColumns(*view_);
    words_->setText(
        tr("%1 subjects, %2 foods, %3 sequences, blocks of %4, seed %5. The same numbers give the same "
           "schedule.")
            .arg(schedule_->subjects.size())
            .arg(schedule_->options.foods.size())
            .arg(schedule_->sequences.size())
            .arg(schedule_->options.block)
            .arg(schedule_->options.seed));
    balance_->setPlainText(checkWords(checkDesign(givenFrom(*schedule_)), schedule_->notes));
}

void RandomisationPanel::save() {
    if (!schedule_) {
        return;
    }
    const QString folder = setup_.askScheduleFolder(this);
    if (folder.isEmpty()) {
        return;
    }
    const auto written =
        writeSchedule(*schedule_, std::filesystem::path(folder.toStdU16String()), sealed_->isChecked());
    if (!written) {
        words_->setText(shown(lineFor(written.problem())));
        return;
    }
    QStringList names;
    for (const std::string& name : written.value()) {
        names << shown(name);
    }
    QString text =
        tr("Written to %1: %2.").arg(QDir::toNativeSeparators(folder), names.join(QStringLiteral(", ")));
    if (sealed_->isChecked()) {
        text += tr(" Give the folder key to somebody who does not meet the subjects.");
    }
    words_->setText(text);
}

void RandomisationPanel::checkFile() {
    const QString file = setup_.askSchedule(this);
    if (file.isEmpty()) {
        return;
    }
    const GivenReading reading = readScheduleFile(std::filesystem::path(file.toStdU16String()));
    if (!reading.schedule) {
        balance_->setPlainText(tr("%1 could not be read:").arg(QDir::toNativeSeparators(file)) + u'\n' +
                               problemWords(reading.problems));
        return;
    }
    balance_->setPlainText(tr("Of %1:").arg(QDir::toNativeSeparators(file)) + u'\n' +
                           checkWords(checkDesign(*reading.schedule), reading.problems));
}

void RandomisationPanel::takeFoods() {
    if (!session_.hasStudy()) {
        return;
    }
    QStringList names;
    for (const Food& food : session_.study()->foods) {
        names << shown(food.id);
    }
    foods_->setText(names.join(QStringLiteral(", ")));
}

}  // namespace aftercurve
