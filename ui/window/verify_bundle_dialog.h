#pragma once

#include <QDialog>

#include "core/bundle/bundle_check.h"
#include "ui/work/latest_run.h"

class QLineEdit;
class QPlainTextEdit;
class QProgressBar;
class QPushButton;

namespace aftercurve {

/// Checks a bundle on a worker and shows the report.
class VerifyBundleDialog : public QDialog {
    Q_OBJECT

  public:
    explicit VerifyBundleDialog(QWidget* parent);

  private:
    void build();
    void verify();
    void showReport(const BundleReport& report);
    void setBusy(bool busy);

    LatestRun run_;
    QLineEdit* path_ = nullptr;
    QPlainTextEdit* report_ = nullptr;
    QProgressBar* progress_ = nullptr;
    QPushButton* verify_ = nullptr;
    QPushButton* stop_ = nullptr;
};

}  // namespace aftercurve
