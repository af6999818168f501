#include "ui/window/make_bundle_dialog.h"

#include <QCoreApplication>
#include <QDate>
#include <QDialogButtonBox>
#include <QFileDialog>
#include <QFormLayout>
#include <QHBoxLayout>
#include <QLabel>
#include <QLineEdit>
#include <QMessageBox>
#include <QPlainTextEdit>
#include <QProgressBar>
#include <QPushButton>
#include <QTimer>
#include <QVBoxLayout>
#include <utility>

#include "ui/models/text.h"

namespace aftercurve {

namespace {

std::filesystem::path pathOf(const QString& text) {
    return std::filesystem::path(text.toStdU16String());
}

/// Shares of the whole: analysing, then drawing, then writing.
constexpr double analysedAt = 0.5;
constexpr double drawnAt = 0.9;
constexpr int wholeBar = 1000;

}  // namespace

MakeBundleDialog::MakeBundleDialog(const QString& study, const QString& suggestion, AskFile askFile,
                                   QWidget* parent)
    : QDialog(parent), study_(pathOf(study)), askFile_(std::move(askFile)) {
    setObjectName(QStringLiteral("makeBundle"));
    setAttribute(Qt::WA_DeleteOnClose);
    setWindowTitle(tr("Make a bundle"));
    build(suggestion);
    resize(fontMetrics().height() * 44, sizeHint().height());
    connect(&run_, &LatestRun::progressed, this, [this](double fraction) {
        progress_->setValue(static_cast<int>(fraction * analysedAt * wholeBar));
    });
    setBusy(false);
}

void MakeBundleDialog::build(const QString& suggestion) {
    auto* column = new QVBoxLayout(this);
    auto* about = new QLabel(tr("One folder or zip file with the study, its results, figures, report and "
                                "hashes, for a repository of research data. It holds whole files: look that "
                                "no name stands in a remark."),
                             this);
    about->setWordWrap(true);
    column->addWidget(about);
    auto* form = new QFormLayout;
    column->addLayout(form);
    auto* place = new QHBoxLayout;
    path_ = new QLineEdit(suggestion, this);
    path_->setObjectName(QStringLiteral("makeBundle.path"));
    path_->setAccessibleName(tr("Write to"));
    path_->setToolTip(tr("A zip file where it ends with .zip, else a folder that is not there yet"));
    auto* file = new QPushButton(tr("&Zip file…"), this);
    auto* folder = new QPushButton(tr("F&older…"), this);
    place->addWidget(path_, 1);
    place->addWidget(file);
    place->addWidget(folder);
    auto* placeLabel = new QLabel(tr("&Write to"), this);
    placeLabel->setBuddy(path_);
    form->addRow(placeLabel, place);
    date_ = new QLineEdit(QDate::currentDate().toString(Qt::ISODate), this);
    date_->setObjectName(QStringLiteral("makeBundle.date"));
    form->addRow(tr("&Date"), date_);
    creator_ = new QLineEdit(this);
    creator_->setObjectName(QStringLiteral("makeBundle.creator"));
    creator_->setPlaceholderText(tr("code, no name; may stay empty"));
    form->addRow(tr("Made &by"), creator_);
    licence_ = new QPlainTextEdit(this);
    licence_->setObjectName(QStringLiteral("makeBundle.licence"));
    licence_->setTabChangesFocus(true);
    licence_->setPlaceholderText(
        tr("On what terms the data may be used. Left empty, LICENCE.txt says that none was chosen."));
    form->addRow(tr("&Licence"), licence_);
    progress_ = new QProgressBar(this);
    progress_->setObjectName(QStringLiteral("makeBundle.progress"));
    progress_->setAccessibleName(tr("Progress"));
    progress_->setRange(0, wholeBar);
    progress_->setTextVisible(false);
    column->addWidget(progress_);
    outcome_ = new QLabel(this);
    outcome_->setObjectName(QStringLiteral("makeBundle.outcome"));
    outcome_->setWordWrap(true);
    outcome_->setTextFormat(Qt::PlainText);
    outcome_->setTextInteractionFlags(Qt::TextSelectableByMouse | Qt::TextSelectableByKeyboard);
    column->addWidget(outcome_);
    auto* buttons = new QDialogButtonBox(this);
    make_ = buttons->addButton(tr("&Make"), QDialogButtonBox::ActionRole);
    make_->setObjectName(QStringLiteral("makeBundle.make"));
    stop_ = buttons->addButton(tr("&Stop"), QDialogButtonBox::ActionRole);
    stop_->setObjectName(QStringLiteral("makeBundle.stop"));
    buttons->addButton(QDialogButtonBox::Close);
    column->addWidget(buttons);
    connect(buttons, &QDialogButtonBox::rejected, this, &MakeBundleDialog::reject);
    connect(make_, &QPushButton::clicked, this, &MakeBundleDialog::make);
    connect(stop_, &QPushButton::clicked, this, &MakeBundleDialog::stop);
    connect(file, &QPushButton::clicked, this, [this] {
        const QString chosen = askFile_(this, path_->text(), tr("Zip file (*.zip)"));
        if (!chosen.isEmpty()) {
            path_->setText(chosen.endsWith(QStringLiteral(".zip"), Qt::CaseInsensitive)
                               ? chosen
                               : chosen + QStringLiteral(".zip"));
        }
    });
    connect(folder, &QPushButton::clicked, this, [this] {
        const QString chosen = QFileDialog::getExistingDirectory(this, tr("Empty folder for the bundle"));
        if (!chosen.isEmpty()) {
            path_->setText(chosen);
        }
    });
}

std::filesystem::path MakeBundleDialog::out() const {
    return pathOf(path_->text());
}

void MakeBundleDialog::setBusy(bool busy) {
    busy_ = busy;
    for (QWidget* field : {static_cast<QWidget*>(path_), static_cast<QWidget*>(date_),
                           static_cast<QWidget*>(creator_), static_cast<QWidget*>(licence_)}) {
        field->setEnabled(!busy);
    }
    make_->setEnabled(!busy);
    stop_->setVisible(busy);
    progress_->setVisible(busy);
    if (!busy) {
        progress_->setValue(0);
    }
}

void MakeBundleDialog::say(const QString& text) {
    outcome_->setText(text);
}

void MakeBundleDialog::say(const Problem& problem) {
    const QString remedy = shown(problem.remedy);
    say(asSentence(shown(problem.what)) + u'.' +
        (remedy.isEmpty() ? QString() : u' ' + asSentence(remedy) + u'.'));
    setBusy(false);
}

void MakeBundleDialog::make() {
    facts_ = {plain(date_->text()), plain(creator_->text()), plain(licence_->toPlainText().trimmed())};
    if (path_->text().trimmed().isEmpty()) {
        say(tr("Say where the bundle is to be written."));
        return;
    }
    if (const std::string fault = faultOf(facts_); !fault.empty()) {
        say(asSentence(shown(fault)) + u'.');
        return;
    }
    say(tr("Reading and analysing …"));
    stopped_ = false;
    setBusy(true);
    run_.start([this, study = study_](const Progress& progress) -> LatestRun::Delivery {
        auto draft = std::make_shared<BundleDraft>(draftBundle(study, progress));
        return [this, draft] { takeDraft(draft); };
    });
}

void MakeBundleDialog::takeDraft(std::shared_ptr<BundleDraft> draft) {
    if (!draft->analysed.study) {
        say(draft->analysed.problems.empty() ? Problem{} : draft->analysed.problems.back());
        return;
    }
    if (draft->personal.empty()) {
        QTimer::singleShot(0, this, [this, draft] { draw(draft); });
        return;
    }
    QString list;
    for (const Problem& problem : draft->personal) {
        list += shown(problem.file) + QStringLiteral(": ") + shown(problem.what) + u'\n';
    }
    auto* box = new QMessageBox(QMessageBox::Warning, tr("Does this bundle name people?"),
                                tr("Columns look as if they identified people. A bundle holds subject codes "
                                   "only."),
                                QMessageBox::NoButton, this);
    box->setObjectName(QStringLiteral("makeBundle.personal"));
    box->setAttribute(Qt::WA_DeleteOnClose);
    box->setInformativeText(list);
    QPushButton* anyway = box->addButton(tr("They name nobody: make it"), QMessageBox::AcceptRole);
    anyway->setObjectName(QStringLiteral("makeBundle.anyway"));
    QPushButton* leave = box->addButton(QMessageBox::Cancel);
    box->setDefaultButton(leave);
    connect(box, &QDialog::finished, this, [this, box, anyway, draft] {
        if (box->clickedButton() == anyway) {
            QTimer::singleShot(0, this, [this, draft] { draw(draft); });
        } else {
            say(tr("No bundle was made. Take these columns out of the study first."));
            setBusy(false);
        }
    });
    box->open();
}

void MakeBundleDialog::draw(const std::shared_ptr<BundleDraft>& draft) {
    say(tr("Drawing figures …"));
    const auto drawn = addFiguresAndReport(*draft, [this](double fraction, std::string_view) {
        progress_->setValue(static_cast<int>((analysedAt + fraction * (drawnAt - analysedAt)) * wholeBar));
        // So that Stop is heard between two figures; reject() does not close the dialog meanwhile.
        QCoreApplication::processEvents();
        return !stopped_;
    });
    if (stopped_) {
        say(tr("Stopped; no bundle was made."));
        setBusy(false);
    } else if (!drawn) {
        say(drawn.problem());
    } else {
        finish(draft);
    }
}

void MakeBundleDialog::finish(const std::shared_ptr<BundleDraft>& draft) {
    say(tr("Writing …"));
    stop_->setVisible(false);
    run_.start([this, draft, facts = facts_, path = out()](const Progress&) -> LatestRun::Delivery {
        const auto done = finishBundle(std::move(*draft), facts, path);
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

void MakeBundleDialog::stop() {
    stopped_ = true;
    if (run_.isRunning()) {
        run_.stop();
        say(tr("Stopped; no bundle was made."));
        setBusy(false);
    }
}

void MakeBundleDialog::reject() {
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
