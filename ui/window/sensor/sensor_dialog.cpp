#include "ui/window/sensor/sensor_dialog.h"

#include <QCheckBox>
#include <QComboBox>
#include <QDir>
#include <QFileInfo>
#include <QFormLayout>
#include <QHBoxLayout>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QProgressBar>
#include <QPushButton>
#include <QScreen>
#include <QSignalBlocker>
#include <QSpinBox>
#include <QSplitter>
#include <QVBoxLayout>
#include <algorithm>
#include <set>

#include "core/sensor/sensor_clock.h"
#include "ui/figures/plot_library.h"
#include "ui/models/text.h"
#include "ui/window/pages/problems_page.h"
#include "ui/window/sensor/sensor_preview.h"
#include "ui/window/word_controls.h"

namespace aftercurve {

namespace {

constexpr int restMs = 300;

}  // namespace

SensorDialog::SensorDialog(SensorAsks asks, QWidget* parent)
    : QDialog(parent), asks_(withSensorDialogs(std::move(asks))), session_(new SensorSession(this)) {
    setObjectName(QStringLiteral("sensorDialog"));
    setAttribute(Qt::WA_DeleteOnClose);
    setWindowTitle(tr("Cut sensor readings into curves"));
    setWindowFlag(Qt::WindowMaximizeButtonHint);
    rest_.setSingleShot(true);
    rest_.setInterval(restMs);
    connect(&rest_, &QTimer::timeout, this, &SensorDialog::ask);
    build();
    connectSession();
    const int em = fontMetrics().height();
    const QSize room = screen()->availableSize();
    resize(std::min(em * 84, room.width() * 9 / 10), std::min(em * 50, room.height() * 9 / 10));
    showMeal();
    showState();
}

void SensorDialog::connectSession() {
    connect(session_, &SensorSession::cut, this, &SensorDialog::showCut);
    connect(session_, &SensorSession::busyChanged, this, &SensorDialog::showState);
    connect(session_, &SensorSession::stopped, this, [this] {
        failure_ = tr("Stopped. What is shown is what was cut before; change a choice to cut anew.");
        showState();
    });
    connect(session_, &SensorSession::progressed, this,
            [this](double share) { progress_->setValue(static_cast<int>(share * progress_->maximum())); });
    connect(session_, &SensorSession::written, this, [this](const QString& folder) {
        Q_EMIT studyWritten(folder);
        accept();
    });
    connect(session_, &SensorSession::writeFailed, this, [this](const Problem& problem) {
        failure_ = tr("Nothing was written: %1.").arg(shown(problem.what));
        showState();
    });
}

void SensorDialog::build() {
    const int em = fontMetrics().height();
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(em, em / 2, em, em / 2);
    state_ = new QLabel(this);
    state_->setObjectName(QStringLiteral("sensor.state"));
    state_->setWordWrap(true);
    state_->setTextFormat(Qt::PlainText);
    column->addWidget(state_);
    progress_ = new QProgressBar(this);
    progress_->setObjectName(QStringLiteral("sensor.progress"));
    progress_->setRange(0, 1000);
    progress_->setTextVisible(false);
    progress_->setFixedHeight(4);
    QSizePolicy keeps = progress_->sizePolicy();
    keeps.setRetainSizeWhenHidden(true);
    progress_->setSizePolicy(keeps);
    progress_->setAccessibleName(tr("Progress"));
    column->addWidget(progress_);
    auto* parts = new QSplitter(Qt::Horizontal, this);
    parts->setChildrenCollapsible(false);
    parts->addWidget(buildLeft());
    parts->addWidget(buildRight());
    parts->setStretchFactor(1, 1);
    column->addWidget(parts, 1);
    column->addWidget(buildFoot());
}

QLineEdit* SensorDialog::addFile(QFormLayout& form, const QString& label, const char* name, bool meals) {
    auto* row = new QHBoxLayout;
    auto* edit = new QLineEdit(this);
    edit->setObjectName(QLatin1String(name));
    auto* choose = new QPushButton(tr("Choose…"), this);
    choose->setObjectName(QLatin1String(name) + QStringLiteral(".choose"));
    choose->setAccessibleName(meals ? tr("Choose the file of meals") : tr("Choose the file of readings"));
    choose->setAutoDefault(false);
    row->addWidget(edit, 1);
    row->addWidget(choose);
    auto* words = new QLabel(label, this);
    words->setBuddy(edit);
    form.addRow(words, row);
    connect(edit, &QLineEdit::editingFinished, this, [this, edit] {
        if (edit->isModified()) {
            edit->setModified(false);
            filesChanged();
        }
    });
    connect(choose, &QPushButton::clicked, this, [this, edit, meals] {
        const QString file = asks_.file(this, meals);
        if (!file.isEmpty()) {
            edit->setText(QDir::toNativeSeparators(file));
            filesChanged();
        }
    });
    return edit;
}

NumberBox* SensorDialog::addMinutes(QFormLayout& form, const QString& label, const char* name, double value,
                                    double low, double high) {
    auto* box = new NumberBox(this);
    box->setObjectName(QLatin1String(name));
    box->setDecimals(1);
    box->setRange(low, high);
    box->setValue(value);
    box->setSuffix(tr(" min"));
    form.addRow(label, box);
    connect(box, &QDoubleSpinBox::valueChanged, this, &SensorDialog::optionsChanged);
    return box;
}

QWidget* SensorDialog::buildLeft() {
    auto* left = new QWidget(this);
    auto* column = new QVBoxLayout(left);
    column->setContentsMargins(0, 0, 0, 0);
    auto* form = new QFormLayout;
    readings_ = addFile(*form, tr("&Readings"), "sensor.readings", false);
    meals_ = addFile(*form, tr("&Meals"), "sensor.meals", true);
    const auto choice = [&](const QString& label, const char* name, const QStringList& words) {
        auto* box = new QComboBox(left);
        box->setObjectName(QLatin1String(name));
        box->addItems(words);
        form->addRow(label, box);
        return box;
    };
    unit_ = choice(tr("&Unit"), "sensor.unit",
                   {tr("as the file says"), QStringLiteral("mmol/L"), QStringLiteral("mg/dL")});
    dateOrder_ = choice(tr("Da&tes"), "sensor.dateOrder",
                        {tr("year first"), tr("day before month"), tr("month before day")});
    smooth_ = choice(tr("&Smoothing"), "sensor.smooth", {tr("none"), tr("running median"), tr("local line")});
    window_ = new QSpinBox(left);
    window_->setObjectName(QStringLiteral("sensor.window"));
    window_->setRange(3, 301);
    window_->setSingleStep(2);
    window_->setValue(5);
    form->addRow(tr("Readings of the median"), window_);
    bandwidth_ = addMinutes(*form, tr("Bandwidth of the line"), "sensor.bandwidth", 20.0, 0.5, 360.0);
    before_ = addMinutes(*form, tr("Before the meal"), "sensor.before", 30.0, 0.0, 1440.0);
    after_ = addMinutes(*form, tr("After the meal"), "sensor.after", 180.0, 1.0, 1440.0);
    gap_ = addMinutes(*form, tr("Longest gap"), "sensor.gap", 20.0, 0.5, 1440.0);
    leaveOutGaps_ = new QCheckBox(tr("Leave curves with a gap out"), left);
    leaveOutGaps_->setObjectName(QStringLiteral("sensor.leaveOutGaps"));
    leaveOutShortened_ = new QCheckBox(tr("Leave meals out that another follows"), left);
    leaveOutShortened_->setObjectName(QStringLiteral("sensor.leaveOutShortened"));
    form->addRow(leaveOutGaps_);
    form->addRow(leaveOutShortened_);
    column->addLayout(form);
    subject_ = new QComboBox(left);
    subject_->setObjectName(QStringLiteral("sensor.subject"));
    subject_->setAccessibleName(tr("Subject"));
    list_ = new QListWidget(left);
    list_->setObjectName(QStringLiteral("sensor.list"));
    list_->setAccessibleName(tr("Meals of the subject"));
    column->addWidget(subject_);
    column->addWidget(list_, 1);
    for (QComboBox* box : {unit_, dateOrder_}) {
        connect(box, &QComboBox::currentIndexChanged, this, &SensorDialog::filesChanged);
    }
    connect(smooth_, &QComboBox::currentIndexChanged, this, &SensorDialog::optionsChanged);
    connect(window_, &QSpinBox::valueChanged, this, &SensorDialog::optionsChanged);
    for (QCheckBox* box : {leaveOutGaps_, leaveOutShortened_}) {
        connect(box, &QCheckBox::toggled, this, &SensorDialog::optionsChanged);
    }
    connect(subject_, &QComboBox::currentIndexChanged, this, &SensorDialog::fillMeals);
    connect(list_, &QListWidget::currentRowChanged, this, &SensorDialog::showMeal);
    return left;
}

QWidget* SensorDialog::buildRight() {
    auto* right = new QSplitter(Qt::Vertical, this);
    right->setChildrenCollapsible(false);
    auto* top = new QWidget(right);
    auto* column = new QVBoxLayout(top);
    column->setContentsMargins(0, 0, 0, 0);
    plot_ = new QCustomPlot(top);
    plot_->setObjectName(QStringLiteral("sensor.plot"));
    plot_->setMinimumSize(fontMetrics().height() * 20, fontMetrics().height() * 12);
    words_ = new QLabel(top);
    words_->setObjectName(QStringLiteral("sensor.words"));
    words_->setWordWrap(true);
    words_->setTextFormat(Qt::PlainText);
    column->addWidget(plot_, 1);
    column->addWidget(words_);
    problems_ = new ProblemsView(QStringLiteral("sensor.problems"), right);
    right->addWidget(top);
    right->addWidget(problems_);
    right->setStretchFactor(0, 2);
    right->setStretchFactor(1, 1);
    return right;
}

QWidget* SensorDialog::buildFoot() {
    auto* foot = new QWidget(this);
    auto* row = new QHBoxLayout(foot);
    row->setContentsMargins(0, 0, 0, 0);
    reference_ = new QComboBox(foot);
    reference_->setObjectName(QStringLiteral("sensor.reference"));
    auto* referenceLabel = new QLabel(tr("Refer&ence food"), foot);
    referenceLabel->setBuddy(reference_);
    title_ = new QLineEdit(foot);
    title_->setObjectName(QStringLiteral("sensor.title"));
    title_->setPlaceholderText(tr("title of the study"));
    auto* titleLabel = new QLabel(tr("Tit&le"), foot);
    titleLabel->setBuddy(title_);
    go_ = new QPushButton(tr("Make a study &folder…"), foot);
    go_->setObjectName(QStringLiteral("sensor.go"));
    stop_ = new QPushButton(tr("Stop"), foot);
    stop_->setObjectName(QStringLiteral("sensor.stop"));
    auto* close = new QPushButton(tr("Close"), foot);
    close->setObjectName(QStringLiteral("sensor.close"));
    row->addWidget(referenceLabel);
    row->addWidget(reference_);
    row->addWidget(titleLabel);
    row->addWidget(title_, 1);
    for (QPushButton* button : {go_, stop_, close}) {
        button->setAutoDefault(false);
        button->setAccessibleName(QString(button->text()).remove(u'&'));
        row->addWidget(button);
    }
    connect(go_, &QPushButton::clicked, this, &SensorDialog::makeStudy);
    connect(stop_, &QPushButton::clicked, session_, &SensorSession::stop);
    connect(close, &QPushButton::clicked, this, &QDialog::reject);
    return foot;
}

void SensorDialog::openFiles(const QString& readings, const QString& meals) {
    readings_->setText(QDir::toNativeSeparators(readings));
    meals_->setText(QDir::toNativeSeparators(meals));
    readAgain_ = true;
    ask();
}

SensorRequest SensorDialog::wanted() const {
    SensorRequest request;
    request.readingsFile = QDir::fromNativeSeparators(readings_->text().trimmed());
    request.mealsFile = QDir::fromNativeSeparators(meals_->text().trimmed());
    if (unit_->currentIndex() > 0) {
        request.reading.unit = plain(unit_->currentText());
    }
    if (dateOrder_->currentIndex() > 0) {
        request.reading.dateOrder =
            dateOrder_->currentIndex() == 1 ? DateOrder::dayMonth : DateOrder::monthDay;
    }
    request.mealDateOrder = request.reading.dateOrder;
    SensorCutOptions& cut = request.cut;
    cut.smoothing.kind = static_cast<SensorSmoothing>(smooth_->currentIndex());
    cut.smoothing.readings = window_->value();
    cut.smoothing.bandwidthMin = bandwidth_->value();
    cut.smoothing.maxGapMin = gap_->value();
    cut.beforeMin = before_->value();
    cut.afterMin = after_->value();
    cut.leaveOutGaps = leaveOutGaps_->isChecked();
    cut.leaveOutShortened = leaveOutShortened_->isChecked();
    return request;
}

void SensorDialog::filesChanged() {
    readAgain_ = true;
    optionsChanged();
}

void SensorDialog::optionsChanged() {
    failure_.clear();
    rest_.start();
    showState();
}

void SensorDialog::ask() {
    rest_.stop();
    const SensorRequest request = wanted();
    if (request.readingsFile.isEmpty() || request.mealsFile.isEmpty()) {
        showState();
        return;
    }
    failure_.clear();
    session_->request(request, readAgain_);
    readAgain_ = false;
    showState();
}

void SensorDialog::showCut() {
    const SensorOutcome& outcome = session_->outcome();
    problems_->setProblems(outcome.problems);
    const QString subject = subject_->currentText();
    const QString reference = reference_->currentData().toString();
    {
        const QSignalBlocker quiet(subject_);
        subject_->clear();
        reference_->clear();
        reference_->addItem(tr("none"), QString());
        std::set<std::string> subjects;
        std::set<std::string> foods;
        for (std::size_t i = 0; outcome.curves && i < outcome.curves->curves.size(); ++i) {
            const SensorCurve& curve = outcome.curves->curves[i];
            if (subjects.insert(curve.mark.subject).second) {
                subject_->addItem(shown(curve.mark.subject));
            }
            if (curve.isUsed() && foods.insert(curve.mark.food).second) {
                reference_->addItem(shown(curve.mark.food), shown(curve.mark.food));
            }
        }
        subject_->setCurrentIndex(std::max(0, subject_->findText(subject)));
        reference_->setCurrentIndex(std::max(0, reference_->findData(reference)));
    }
    fillMeals();
    showState();
}

void SensorDialog::fillMeals() {
    const SensorOutcome& outcome = session_->outcome();
    const int row = list_->currentRow();
    {
        const QSignalBlocker quiet(list_);
        list_->clear();
        const std::string subject = plain(subject_->currentText());
        for (std::size_t i = 0; outcome.curves && i < outcome.curves->curves.size(); ++i) {
            const SensorCurve& curve = outcome.curves->curves[i];
            if (curve.mark.subject != subject) {
                continue;
            }
            const QString what = tr("%1  %2, visit %3")
                                     .arg(shown(sensorClockText(curve.mark.second)), shown(curve.mark.food))
                                     .arg(curve.mark.visit);
            auto* item = new QListWidgetItem(curve.isUsed() ? what : tr("%1 (left out)").arg(what), list_);
            item->setData(Qt::UserRole, static_cast<qulonglong>(i));
        }
        list_->setCurrentRow(list_->count() == 0 ? -1 : std::clamp(row, 0, list_->count() - 1));
    }
    showMeal();
}

void SensorDialog::showMeal() {
    const SensorOutcome& outcome = session_->outcome();
    std::optional<std::size_t> chosen;
    if (const QListWidgetItem* item = list_->currentItem()) {
        chosen = static_cast<std::size_t>(item->data(Qt::UserRole).toULongLong());
    }
    words_->clear();
    if (outcome.curves && chosen && *chosen < outcome.curves->curves.size()) {
        words_->setText(sensorCurveWords(outcome.curves->curves[*chosen]));
    }
    drawSensorPreview(*plot_, outcome, chosen, FigureStyle{});
    plot_->replot(QCustomPlot::rpQueuedReplot);
}

void SensorDialog::resizeEvent(QResizeEvent* event) {
    QDialog::resizeEvent(event);
    showMeal();
}

void SensorDialog::showState() {
    const SensorOutcome& outcome = session_->outcome();
    const bool busy = session_->isBusy();
    const bool waiting = rest_.isActive();
    progress_->setVisible(busy);
    stop_->setVisible(busy);
    if (!busy) {
        progress_->setValue(0);
    }
    window_->setEnabled(smooth_->currentIndex() == 1);
    bandwidth_->setEnabled(smooth_->currentIndex() == 2);
    const bool usable = outcome.curves && outcome.curves->used > 0;
    go_->setEnabled(usable && !busy && !waiting);
    if (!failure_.isEmpty()) {
        state_->setText(failure_);
    } else if (busy) {
        state_->setText(tr("Working …"));
    } else if (readings_->text().trimmed().isEmpty() || meals_->text().trimmed().isEmpty()) {
        state_->setText(tr(
            "Choose a file of readings (subject, timestamp, glucose) and one of meals (subject, timestamp, "
            "food). Nothing is written until you say so."));
    } else if (!outcome.curves) {
        state_->setText(tr("Something stands in the way: see the list of problems."));
    } else {
        const auto subjects = static_cast<qsizetype>(outcome.readings->traces.size());
        state_->setText(tr("%1 readings of %2; %3 of %4 meals give a curve.")
                            .arg(readingCount(*outcome.readings))
                            .arg(counted(subjects, tr("%1 subject"), tr("%1 subjects")))
                            .arg(outcome.curves->used)
                            .arg(outcome.curves->curves.size()));
    }
}

void SensorDialog::makeStudy() {
    const QFileInfo file(QDir::fromNativeSeparators(readings_->text().trimmed()));
    const QString folder =
        asks_.folder(this, file.absoluteDir().filePath(file.completeBaseName() + QStringLiteral("-curves")));
    if (folder.isEmpty()) {
        return;
    }
    failure_.clear();
    SensorStudyOptions options;
    options.title = plain(title_->text().trimmed());
    options.reference = plain(reference_->currentData().toString());
    session_->write(folder, options);
}

}  // namespace aftercurve
