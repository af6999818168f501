#pragma once

#include <QDialog>
#include <filesystem>
#include <memory>

#include "ui/bundle/make_bundle.h"
#include "ui/window/export_figure_dialog.h"
#include "ui/work/latest_run.h"

class QLabel;
class QLineEdit;
class QPlainTextEdit;
class QProgressBar;
class QPushButton;

namespace aftercurve {

/// Makes a bundle of a study as it is on disk. Reading, analysing and writing happen on a worker; figures are
/// drawn on the window's thread, one after the other. While it works the dialog stays, with *Stop*.
class MakeBundleDialog : public QDialog {
    Q_OBJECT

  public:
    /// `study` is the folder, `suggestion` the path to begin with.
    MakeBundleDialog(const QString& study, const QString& suggestion, AskFile askFile, QWidget* parent);

    void reject() override;

  Q_SIGNALS:
    void written(const QString& path);

  private:
    void build(const QString& suggestion);
    void make();
    void takeDraft(std::shared_ptr<BundleDraft> draft);
    void draw(const std::shared_ptr<BundleDraft>& draft);
    void finish(const std::shared_ptr<BundleDraft>& draft);
    void stop();
    void setBusy(bool busy);
    void say(const QString& text);
    void say(const Problem& problem);
    std::filesystem::path out() const;

    std::filesystem::path study_;
    AskFile askFile_;
    BundleFacts facts_;
    LatestRun run_;
    bool busy_ = false;
    bool stopped_ = false;
    QLineEdit* path_ = nullptr;
    QLineEdit* date_ = nullptr;
    QLineEdit* creator_ = nullptr;
    QPlainTextEdit* licence_ = nullptr;
    QLabel* outcome_ = nullptr;
    QProgressBar* progress_ = nullptr;
    QPushButton* make_ = nullptr;
    QPushButton* stop_ = nullptr;
};

}  // namespace aftercurve
