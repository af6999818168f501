#include "ui/window/statistics/statistics_page.h"

#include <QButtonGroup>
#include <QHBoxLayout>
#include <QLabel>
#include <QPushButton>
#include <QRadioButton>
#include <QScrollArea>
#include <QSplitter>
#include <QStackedLayout>
#include <QVBoxLayout>

#include "ui/models/text.h"
#include "ui/window/edit/edit_bar.h"
#include "ui/window/figure_view.h"
#include "ui/window/result_view.h"
#include "ui/window/statistics/plan_controls.h"
#include "ui/window/statistics/setting_controls.h"
#include "ui/window/statistics/working_panel.h"

namespace aftercurve {

StatisticsPage::StatisticsPage(Session& session, StatisticsView view, QWidget* parent)
    : Page(session, parent),
      view_(std::move(view)),
      stack_(nullptr),
      empty_(new EmptyNotice(this)),
      table_(new ResultView(shown(view_.table), this)),
      sentence_(resultSentence(view_.name + QStringLiteral(".sentence"), tr("The row in words"), this)),
      working_(new WorkingPanel(view_.name, this)) {
    setObjectName(QStringLiteral("statistics.") + view_.name);
    empty_->setObjectName(view_.name + QStringLiteral(".empty"));
    const int em = fontMetrics().height();
    QVBoxLayout* column = pageColumn(this);
    if (view_.addControls != nullptr) {
        auto* controls = new PlanControls(session_, view_.name, this);
        view_.addControls(*controls);
        column->addWidget(controls);
    }
    if (view_.addSettings != nullptr) {
        column->addWidget(settingsPart());
    }
    if (!view_.dataTab.isEmpty()) {
        enterData_ = empty_->addButton(tr("Enter data…"), view_.name + QStringLiteral(".enterData"),
                                       [this] { Q_EMIT tabWanted(view_.dataTab); });
    }
    auto* body = new QWidget(this);
    stack_ = new QStackedLayout(body);
    column->addWidget(body, 1);
    auto* full = new QSplitter(Qt::Vertical, body);
    full->setChildrenCollapsible(false);
    table_->setMinimumHeight(em * 6);
    full->addWidget(table_);
    auto* below = new QSplitter(Qt::Horizontal, full);
    below->setChildrenCollapsible(false);
    below->addWidget(leftSide(below));
    below->addWidget(rightSide(below));
    below->setSizes({em * 32, em * 48});
    below->setStretchFactor(0, 2);
    below->setStretchFactor(1, 3);
    full->addWidget(below);
    const bool wordsAlone = view_.figures.empty();
    full->setStretchFactor(wordsAlone ? 0 : 1, 1);
    full->setSizes(wordsAlone ? QList<int>{em * 20, em * 17} : QList<int>{em * 11, em * 26});
    stack_->addWidget(full);
    stack_->addWidget(empty_);
    working_->follow(table_);
    connect(table_, &ResultView::rowChosen, this, &StatisticsPage::showRow);
    connect(&session_, &Session::studyOpened, this, &StatisticsPage::showResults);
    connect(&session_, &Session::resultsChanged, this, &StatisticsPage::showResults);
}

QWidget* StatisticsPage::settingsPart() {
    settings_ = new QWidget(this);
    auto* column = new QVBoxLayout(settings_);
    column->setContentsMargins(0, 0, 0, 0);
    auto* controls = new SettingControls(session_, view_.name, settings_);
    view_.addSettings(*controls);
    column->addWidget(controls);
    auto* bar = new EditBar(session_, view_.name, settings_);
    connect(controls, &SettingControls::refused, bar, &EditBar::refuse);
    connect(&session_, &Session::studyEdited, bar, &EditBar::clearWords);
    column->addWidget(bar);
    if (view_.settingsNote != nullptr) {
        settingsNote_ =
            resultSentence(view_.name + QStringLiteral(".note"), tr("What the settings mean"), settings_);
        column->addWidget(settingsNote_);
    }
    connect(&session_, &Session::studyOpened, this, &StatisticsPage::showSettings);
    connect(&session_, &Session::studyEdited, this, &StatisticsPage::showSettings);
    return settings_;
}

void StatisticsPage::showSettings() {
    const Study& study = *session_.study();
    settings_->setVisible(view_.hasData == nullptr || view_.hasData(study));
    if (settingsNote_ != nullptr) {
        settingsNote_->setText(view_.settingsNote(study));
    }
}

QWidget* StatisticsPage::leftSide(QWidget* parent) {
    auto* side = new QWidget(parent);
    auto* column = new QVBoxLayout(side);
    column->setContentsMargins(0, fontMetrics().height() / 3, 0, 0);
    column->addWidget(sentence_);
    column->addWidget(working_, 1);
    return side;
}

QWidget* StatisticsPage::rightSide(QWidget* parent) {
    auto* side = new QWidget(parent);
    auto* column = new QVBoxLayout(side);
    column->setContentsMargins(0, fontMetrics().height() / 3, 0, 0);
    QHBoxLayout* row = controlRow(this);
    choices_ = new QButtonGroup(this);
    const auto add = [&](const QString& label, const QString& name) {
        auto* button = new QRadioButton(label, side);
        button->setObjectName(view_.name + u'.' + name);
        button->setAccessibleName(label);
        choices_->addButton(button, static_cast<int>(choices_->buttons().size()));
        row->addWidget(button);
    };
    for (const StatisticsFigure& figure : view_.figures) {
        add(figure.label, shown(figure.kind));
    }
    auto* content = new QWidget(side);
    right_ = new QStackedLayout(content);
    if (!view_.figures.empty()) {
        figure_ = new FigureView(content);
        figure_->setObjectName(view_.name + QStringLiteral(".figure"));
        right_->addWidget(figure_);
    }
    if (!view_.detail.empty()) {
        add(view_.detailTitle, QStringLiteral("showDetail"));
        detail_ = new ResultView(shown(view_.detail), content);
        detail_->setHiddenColumns({"analyte", "measure", "unit", "food", "comparator"});
        detail_->setObjectName(view_.name + QStringLiteral(".detail"));
        right_->addWidget(detail_);
        working_->follow(detail_);
    }
    row->addStretch(1);
    column->addLayout(row);
    column->addWidget(content, 1);
    if (choices_->buttons().size() < 2) {
        for (QAbstractButton* button : choices_->buttons()) {
            button->hide();
        }
    }
    if (QAbstractButton* first = choices_->button(0)) {
        first->setChecked(true);
    }
    side->setVisible(!choices_->buttons().isEmpty());
    connect(choices_, &QButtonGroup::idToggled, this, [this](int, bool on) {
        if (on) {
            showFigure(table_->currentTableRow());
        }
    });
    return side;
}

FigureView* StatisticsPage::figure() {
    return figure_ != nullptr && right_->currentWidget() == figure_ ? figure_ : nullptr;
}

ResultView* StatisticsPage::table() {
    return detail_ != nullptr && detail_->hasFocus() ? detail_ : table_;
}

void StatisticsPage::showResults() {
    const auto results = session_.results();
    working_->showResults(results);
    if (detail_ != nullptr) {
        detail_->showResults(session_);
    }
    table_->showResults(session_);
    if (table_->table() != nullptr && table_->table()->rows.empty()) {
        empty_->setWords(view_.emptyTitle, shown(table_->table()->emptyText));
        if (enterData_ != nullptr) {
            enterData_->setVisible(view_.hasData != nullptr && !view_.hasData(*results->study));
        }
        stack_->setCurrentWidget(empty_);
        return;
    }
    stack_->setCurrentIndex(0);
    showRow(table_->currentTableRow());
}

void StatisticsPage::showRow(int row) {
    const auto results = session_.results();
    const Table* table = table_->table();
    if (!results || table == nullptr || row < 0 || static_cast<std::size_t>(row) >= table->rows.size()) {
        sentence_->clear();
        if (figure_ != nullptr) {
            figure_->showWords(QString());
        }
        return;
    }
    const auto at = static_cast<std::size_t>(row);
    sentence_->setText(view_.sentence == nullptr ? QString()
                                                 : keptTogether(shown(view_.sentence(*results, at))));
    sentence_->setVisible(!sentence_->text().isEmpty());
    if (detail_ != nullptr) {
        detail_->setRowFilter(view_.detailPrefix != nullptr ? view_.detailPrefix(table->rows[at])
                                                            : table->rows[at].key + "/");
    }
    showFigure(row);
}

void StatisticsPage::showFigure(int row) {
    const auto results = session_.results();
    const Table* table = table_->table();
    const auto chosen = static_cast<std::size_t>(std::max(0, choices_->checkedId()));
    if (chosen >= view_.figures.size()) {
        if (detail_ != nullptr) {
            right_->setCurrentWidget(detail_);
        }
        return;
    }
    right_->setCurrentWidget(figure_);
    if (!results || table == nullptr || row < 0 || static_cast<std::size_t>(row) >= table->rows.size()) {
        return;
    }
    const RowSubject& about = table->rows[static_cast<std::size_t>(row)].about;
    FigureChoice choice;
    choice.analyte = about.analyte;
    choice.measure = about.measure;
    choice.food = view_.figures[chosen].allFoods ? std::string{} : about.food;
    choice.subject = about.subject;
    figure_->showFigure(results, view_.figures[chosen].kind, choice);
}

}  // namespace aftercurve
