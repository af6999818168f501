#pragma once

#include <QDialog>
#include <QSettings>
#include <functional>
#include <memory>

#include "ui/export/figure_export.h"
#include "ui/window/results.h"

class QCheckBox;
class QComboBox;
class QDialogButtonBox;
class QLabel;
class QLineEdit;

namespace aftercurve {

class NumberBox;

/// Asks for a file to write; empty where the reader changed his mind. `suggestion` is a whole path.
using AskFile = std::function<QString(QWidget* parent, const QString& suggestion, const QString& filter)>;

/// Size and format of a figure file, with a line that says what will come out; writes it.
class ExportFigureDialog : public QDialog {
    Q_OBJECT

  public:
    ExportFigureDialog(const FigureKind& kind, const FigureChoice& choice,
                       std::shared_ptr<const Results> results, QSettings& settings, AskFile askFile,
                       QWidget* parent);

    void accept() override;

  Q_SIGNALS:
    void written(const QString& path);

  private:
    void build();
    void restore();
    void browse();
    void update();
    FigureStyle style() const;
    FigureExportOptions options() const;
    QString suffix() const;

    const FigureKind& kind_;
    FigureChoice choice_;
    std::shared_ptr<const Results> results_;
    QSettings& settings_;
    AskFile askFile_;
    QComboBox* format_;
    QComboBox* preset_;
    NumberBox* width_;
    NumberBox* height_;
    NumberBox* font_;
    NumberBox* dpi_;
    QCheckBox* grey_;
    QLineEdit* path_;
    QLabel* outcome_;
    QDialogButtonBox* buttons_;
};

}  // namespace aftercurve
