#pragma once

#include <QDialog>
#include <filesystem>
#include <memory>

#include "ui/report/report_draft.h"
#include "ui/window/results.h"
#include "ui/work/latest_run.h"

class QCheckBox;
class QLabel;
class QLineEdit;
class QProgressBar;
class QPushButton;

namespace aftercurve {

/// Writes the report of a finished run into a folder. Text and pages are set on a worker; figures are drawn
/// on the window's thread, one after the other. While it works the dialog stays, with *Stop*.
class ReportDialog : public QDialog {
    Q_OBJECT

  public:
    /// `folder` is the path to begin with.
    ReportDialog(std::shared_ptr<const Results> results, const QString& folder, QWidget* parent);

    void reject() override;

  Q_SIGNALS:
    void written(const QString& folder);

  private:
    void build(const QString& folder);
    void make();
    void draw(const std::shared_ptr<ReportDraft>& draft);
    void write(const std::shared_ptr<ReportDraft>& draft);
    void stop();
    void setBusy(bool busy);
    void say(const QString& text);
    void say(const Problem& problem);

    std::shared_ptr<const Results> results_;
    std::filesystem::path out_;
    LatestRun run_;
    bool busy_ = false;
    bool stopped_ = false;
    bool drawing_ = false;
    std::shared_ptr<const ReportDraft> pending_;  ///< set and waiting to be drawn
    QLineEdit* path_ = nullptr;
    QPushButton* choose_ = nullptr;
    QLineEdit* date_ = nullptr;
    QCheckBox* html_ = nullptr;
    QCheckBox* pdf_ = nullptr;
    QCheckBox* figures_ = nullptr;
    QLabel* outcome_ = nullptr;
    QProgressBar* progress_ = nullptr;
    QPushButton* make_ = nullptr;
    QPushButton* stop_ = nullptr;
};

}  // namespace aftercurve
