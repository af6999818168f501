#include "ui/window/verify_bundle_dialog.h"

#include <QDialogButtonBox>
#include <QFileDialog>
#include <QHBoxLayout>
#include <QLabel>
#include <QLineEdit>
#include <QPlainTextEdit>
#include <QProgressBar>
#include <QPushButton>
#include <QVBoxLayout>
#include <filesystem>
#include <memory>

#include "ui/models/text.h"

namespace aftercurve {

namespace {

constexpr int wholeBar = 1000;

}  // namespace

VerifyBundleDialog::VerifyBundleDialog(QWidget* parent) : QDialog(parent) {
    setObjectName(QStringLiteral("verifyBundle"));
    setAttribute(Qt::WA_DeleteOnClose);
    setWindowTitle(tr("Verify a bundle"));
    build();
    connect(&run_, &LatestRun::progressed, this,
            [this](double fraction) { progress_->setValue(static_cast<int>(fraction * wholeBar)); });
    connect(&run_, &LatestRun::runningChanged, this, &VerifyBundleDialog::setBusy);
    setBusy(false);
    const int em = fontMetrics().height();
    resize(em * 42, em * 28);
}

void VerifyBundleDialog::build() {
    auto* column = new QVBoxLayout(this);
    auto* about =
        new QLabel(tr("Checks every file of a bundle against its manifest, analyses the study in it "
                      "anew and compares the numbers. Nothing of the bundle is changed."),
                   this);
    about->setWordWrap(true);
    column->addWidget(about);
    auto* place = new QHBoxLayout;
    path_ = new QLineEdit(this);
    path_->setObjectName(QStringLiteral("verifyBundle.path"));
    auto* label = new QLabel(tr("&Bundle"), this);
    label->setBuddy(path_);
    auto* file = new QPushButton(tr("&Zip file…"), this);
    auto* folder = new QPushButton(tr("F&older…"), this);
    place->addWidget(label);
    place->addWidget(path_, 1);
    place->addWidget(file);
    place->addWidget(folder);
    column->addLayout(place);
    progress_ = new QProgressBar(this);
    progress_->setObjectName(QStringLiteral("verifyBundle.progress"));
    progress_->setAccessibleName(tr("Progress"));
    progress_->setRange(0, wholeBar);
    progress_->setTextVisible(false);
    column->addWidget(progress_);
    report_ = new QPlainTextEdit(this);
    report_->setObjectName(QStringLiteral("verifyBundle.report"));
    report_->setAccessibleName(tr("Report"));
    report_->setReadOnly(true);
    report_->setTabChangesFocus(true);
    column->addWidget(report_, 1);
    auto* buttons = new QDialogButtonBox(this);
    verify_ = buttons->addButton(tr("&Verify"), QDialogButtonBox::ActionRole);
    verify_->setObjectName(QStringLiteral("verifyBundle.verify"));
    stop_ = buttons->addButton(tr("&Stop"), QDialogButtonBox::ActionRole);
    stop_->setObjectName(QStringLiteral("verifyBundle.stop"));
    buttons->addButton(QDialogButtonBox::Close);
    column->addWidget(buttons);
    connect(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
    connect(verify_, &QPushButton::clicked, this, &VerifyBundleDialog::verify);
    connect(stop_, &QPushButton::clicked, this, [this] {
        run_.stop();
        report_->setPlainText(tr("Stopped; nothing can be said of the bundle."));
    });
    connect(path_, &QLineEdit::textChanged, this, [this] { setBusy(run_.isRunning()); });
    connect(file, &QPushButton::clicked, this, [this] {
        const QString chosen = QFileDialog::getOpenFileName(this, tr("Zip file of a bundle"), {},
                                                            tr("Zip file (*.zip);;All files (*)"));
        if (!chosen.isEmpty()) {
            path_->setText(chosen);
        }
    });
    connect(folder, &QPushButton::clicked, this, [this] {
        const QString chosen = QFileDialog::getExistingDirectory(this, tr("Folder of a bundle"));
        if (!chosen.isEmpty()) {
            path_->setText(chosen);
        }
    });
}

void VerifyBundleDialog::setBusy(bool busy) {
    path_->setEnabled(!busy);
    verify_->setEnabled(!busy && !path_->text().trimmed().isEmpty());
    stop_->setVisible(busy);
    progress_->setVisible(busy);
    if (!busy) {
        progress_->setValue(0);
    }
}

void VerifyBundleDialog::verify() {
    report_->setPlainText(tr("Checking …"));
    const std::filesystem::path bundle(path_->text().toStdU16String());
    run_.start([this, bundle](const Progress& progress) -> LatestRun::Delivery {
        auto report = std::make_shared<const BundleReport>(checkBundle(bundle, progress));
        return [this, report] { showReport(*report); };
    });
}

void VerifyBundleDialog::showReport(const BundleReport& report) {
    report_->setPlainText(shown(textOf(report)));
}

}  // namespace aftercurve
