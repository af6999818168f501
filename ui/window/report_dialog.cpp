#include "ui/window/report_dialog.h"

#include <QCheckBox>
#include <QCoreApplication>
#include <QDate>
#include <QDialogButtonBox>
#include <QFileDialog>
#include <QFormLayout>
#include <QHBoxLayout>
#include <QLabel>
#include <QLineEdit>
#include <QProgressBar>
#include <QPushButton>
#include <QTimer>
#include <QVBoxLayout>
#include <system_error>
#include <utility>

#include "core/files/atomic_write.h"
#include "ui/models/text.h"

namespace aftercurve {

namespace {

/// Shares of the whole: setting, then drawing, then writing.
constexpr double setAt = 0.2;
constexpr double drawnAt = 0.9;
constexpr int wholeBar = 1000;

Result<Done> writeFiles(const ReportDraft& draft, const std::filesystem::path& folder) {
    std::error_code error;
    std::filesystem::create_directories(folder, error);
    if (error) {
        Problem problem;
        problem.what = "the folder cannot be made: " + error.message();
        problem.remedy = "choose a folder that can be written to";
        return problem;
    }
    for (const ReportFile& file : reportFiles(draft)) {
        if (const auto done = writeAtomically(folder / file.name, file.bytes); !done) {
            return done.problem();
        }
    }
    return Done{};
}

}  // namespace

ReportDialog::ReportDialog(std::shared_ptr<const Results> results, const QString& folder, QWidget* parent)
    : QDialog(parent), results_(std::move(results)) {
    setObjectName(QStringLiteral("report"));
    setAttribute(Qt::WA_DeleteOnClose);
    setWindowTitle(tr("Export report"));
    build(folder);
    setBusy(false);
}

void ReportDialog::build(const QString& folder) {
    auto* column = new QVBoxLayout(this);
    auto* about = new QLabel(tr("What was found and how, with figures, tables, problems and where it all "
                                "comes from: report.html and report.pdf in one folder. Files of that name "
                                "are replaced."),
                             this);
    about->setWordWrap(true);
    column->addWidget(about);
    auto* form = new QFormLayout;
    column->addLayout(form);
    auto* place = new QHBoxLayout;
    path_ = new QLineEdit(folder, this);
    path_->setObjectName(QStringLiteral("report.path"));
    path_->setAccessibleName(tr("Write into"));
    choose_ = new QPushButton(tr("F&older…"), this);
    place->addWidget(path_, 1);
    place->addWidget(choose_);
    auto* placeLabel = new QLabel(tr("&Write into"), this);
    placeLabel->setBuddy(path_);
    form->addRow(placeLabel, place);
    date_ = new QLineEdit(QDate::currentDate().toString(Qt::ISODate), this);
    date_->setObjectName(QStringLiteral("report.date"));
    date_->setToolTip(
        tr("Left empty, the report bears no date, and the same study gives the same files on "
           "any day"));
    form->addRow(tr("&Date"), date_);
    const auto box = [&](const QString& text, const char* name) {
        auto* check = new QCheckBox(text, this);
        check->setObjectName(QLatin1String(name));
        check->setChecked(true);
        form->addRow(QString(), check);
        return check;
    };
    html_ = box(tr("&HTML, one page to read and search"), "report.html");
    pdf_ = box(tr("&PDF, for print"), "report.pdf");
    figures_ = box(tr("With &figures"), "report.figures");
    progress_ = new QProgressBar(this);
    progress_->setObjectName(QStringLiteral("report.progress"));
    progress_->setAccessibleName(tr("Progress"));
    progress_->setRange(0, wholeBar);
    progress_->setTextVisible(false);
    column->addWidget(progress_);
    outcome_ = new QLabel(this);
    outcome_->setObjectName(QStringLiteral("report.outcome"));
    outcome_->setWordWrap(true);
    outcome_->setTextFormat(Qt::PlainText);
    outcome_->setTextInteractionFlags(Qt::TextSelectableByMouse | Qt::TextSelectableByKeyboard);
    column->addWidget(outcome_);
    auto* buttons = new QDialogButtonBox(this);
    make_ = buttons->addButton(tr("&Make"), QDialogButtonBox::ActionRole);
    make_->setObjectName(QStringLiteral("report.make"));
    stop_ = buttons->addButton(tr("&Stop"), QDialogButtonBox::ActionRole);
    stop_->setObjectName(QStringLiteral("report.stop"));
    buttons->addButton(QDialogButtonBox::Close);
    column->addWidget(buttons);
    connect(buttons, &QDialogButtonBox::rejected, this, &ReportDialog::reject);
    connect(make_, &QPushButton::clicked, this, &ReportDialog::make);
    connect(stop_, &QPushButton::clicked, this, &ReportDialog::stop);
    connect(choose_, &QPushButton::clicked, this, [this] {
        const QString chosen =
            QFileDialog::getExistingDirectory(this, tr("Folder for the report"), path_->text());
        if (!chosen.isEmpty()) {
            path_->setText(chosen);
        }
    });
}

void ReportDialog::setBusy(bool busy) {
    busy_ = busy;
    for (QWidget* field :
         {static_cast<QWidget*>(path_), static_cast<QWidget*>(choose_), static_cast<QWidget*>(date_),
          static_cast<QWidget*>(html_), static_cast<QWidget*>(pdf_), static_cast<QWidget*>(figures_)}) {
        field->setEnabled(!busy);
    }
    make_->setEnabled(!busy);
    stop_->setVisible(busy);
    progress_->setVisible(busy);
    if (!busy) {
        progress_->setValue(0);
    }
}

void ReportDialog::say(const QString& text) {
    outcome_->setText(text);
}

void ReportDialog::say(const Problem& problem) {
    const QString remedy = shown(problem.remedy);
    say(asSentence(shown(problem.what)) + u'.' +
        (remedy.isEmpty() ? QString() : u' ' + asSentence(remedy) + u'.'));
    setBusy(false);
}

void ReportDialog::make() {
    if (path_->text().trimmed().isEmpty()) {
        say(tr("Say where the report is to be written."));
        return;
    }
    ReportRequest request;
    request.html = html_->isChecked();
    request.pdf = pdf_->isChecked();
    request.figures = figures_->isChecked();
    request.options.date = plain(date_->text().trimmed());
    out_ = std::filesystem::path(path_->text().toStdU16String());
    say(tr("Setting text and tables …"));
    stopped_ = false;
    pending_ = nullptr;
    setBusy(true);
    run_.start([this, results = results_, request](const Progress&) -> LatestRun::Delivery {
        auto drafted = draftReport(*results->study, results->findings, request);
        if (!drafted) {
            return [this, problem = drafted.problem()] { say(problem); };
        }
        auto draft = std::make_shared<ReportDraft>(std::move(drafted).value());
        return [this, draft] {
            pending_ = draft;
            QTimer::singleShot(0, this, [this, draft] { draw(draft); });
        };
    });
}

void ReportDialog::draw(const std::shared_ptr<ReportDraft>& draft) {
    if (pending_ != draft) {
        return;
    }
    say(tr("Drawing figures …"));
    drawing_ = true;
    const auto drawn =
        drawReport(*draft, *results_->study, results_->findings, [this](double fraction, std::string_view) {
            progress_->setValue(static_cast<int>((setAt + fraction * (drawnAt - setAt)) * wholeBar));
            // So that Stop is heard between two figures; reject() does not close the dialog meanwhile.
            QCoreApplication::processEvents();
            return !stopped_;
        });
    drawing_ = false;
    if (stopped_) {
        setBusy(false);
    } else if (!drawn) {
        say(drawn.problem());
    } else {
        write(draft);
    }
}

void ReportDialog::write(const std::shared_ptr<ReportDraft>& draft) {
    say(tr("Writing …"));
    stop_->setVisible(false);
    run_.start([this, draft, folder = out_](const Progress&) -> LatestRun::Delivery {
        const auto done = writeFiles(*draft, folder);
        return [this, done] {
            if (!done) {
                say(done.problem());
                return;
            }
            setBusy(false);
            say(tr("Written: %1").arg(path_->text()));
            Q_EMIT written(path_->text());
        };
    });
}

void ReportDialog::stop() {
    stopped_ = true;
    pending_ = nullptr;
    run_.stop();
    say(tr("Stopped; no report was written."));
    if (!drawing_) {
        setBusy(false);
    }
}

void ReportDialog::reject() {
    if (busy_) {
        // Writing is not cut short: it is soon done, whole or not at all.
        if (stop_->isVisible()) {
            stop();
        }
        return;
    }
    QDialog::reject();
}

}  // namespace aftercurve
