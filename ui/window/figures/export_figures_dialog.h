#pragma once

#include <QDialog>
#include <QSettings>
#include <functional>
#include <memory>
#include <utility>
#include <vector>

#include "core/figure/figure_spec.h"
#include "ui/export/figure_export.h"
#include "ui/window/results.h"

class QCheckBox;
class QLabel;
class QLineEdit;
class QPushButton;

namespace aftercurve {

class NumberBox;

/// Asks for a folder to write into; empty where the reader changed his mind.
using AskFolder = std::function<QString(QWidget* parent, const QString& startIn)>;

/// Writes figures of the manuscript, each in the formats that are ticked, named after its file name. One file
/// at a time, so that the window answers meanwhile.
class ExportFiguresDialog : public QDialog {
    Q_OBJECT

  public:
    ExportFiguresDialog(std::vector<FigureSpec> figures, std::shared_ptr<const Results> results,
                        QSettings& settings, AskFolder askFolder, QWidget* parent);

    void accept() override;
    void reject() override;

  Q_SIGNALS:
    void written(const QString& folder, int files);

  private:
    void build();
    void restore();
    void remember();
    void update();
    void tell(const QString& words, bool wrong);
    void writeNext();
    std::vector<std::pair<std::size_t, std::size_t>> planned() const;
    FigureExportOptions optionsFor(std::size_t format) const;
    QString pathOf(std::size_t figure, std::size_t format) const;

    std::vector<FigureSpec> figures_;
    std::shared_ptr<const Results> results_;
    QSettings& settings_;
    AskFolder askFolder_;
    std::vector<QCheckBox*> formats_;
    NumberBox* dpi_;
    QLineEdit* folder_;
    QLabel* outcome_;
    QPushButton* write_ = nullptr;
    QWidget* form_;
    std::vector<std::pair<std::size_t, std::size_t>> left_;  ///< figure and format, the next one last
    int total_ = 0;
    bool stopped_ = false;
};

}  // namespace aftercurve
