#pragma once

#include <QSettings>
#include <QString>
#include <functional>
#include <vector>

#include "ui/takein/take_in_window.h"
#include "ui/window/export_figure_dialog.h"
#include "ui/window/figures/export_figures_dialog.h"
#include "ui/window/sensor/sensor_dialog.h"
#include "ui/window/start_page.h"

class QWidget;

namespace aftercurve {

enum class SaveAnswer { save, discard, cancel };

/// What the window needs from outside, so that a test can put its own in place: settings in a folder of the
/// test, answers instead of dialogs.
struct WindowSetup {
    QSettings* settings = nullptr;  ///< outlives the window
    std::vector<SampleStudy> samples;
    /// Asked before changes would be lost.
    std::function<SaveAnswer(QWidget* parent, const QString& study)> askToSave;
    /// Folder of a study to open; empty: the reader changed his mind.
    std::function<QString(QWidget* parent, const QString& startIn)> askFolder;
    AskFile askFile;
    /// CSV file of a schedule to check; empty: the reader changed his mind.
    std::function<QString(QWidget* parent)> askSchedule;
    /// Folder for a new schedule; likewise.
    std::function<QString(QWidget* parent)> askScheduleFolder;
    TakeInAsks takeIn;
    SensorAsks sensor;
    /// Folder to write figures into; empty: the reader changed his mind.
    AskFolder askExportFolder;
    /// File of figures to load; likewise.
    std::function<QString(QWidget* parent)> askFigureFile;
};

/// Fills the questions that are empty with dialogs.
WindowSetup withDialogs(WindowSetup setup);

/// The sample studies in `folder`: each sub-folder that holds a study.json.
std::vector<SampleStudy> sampleStudiesIn(const QString& folder);
/// The folder of the sample studies of an installed program, or of the source tree that it was built in;
/// empty where there is neither.
QString sampleStudiesFolder(const QString& programFolder);

}  // namespace aftercurve
