#include <QCoreApplication>
#include <QFileDialog>

#include "ui/window/sensor/sensor_dialog.h"

namespace aftercurve {

namespace {

QString say(const char* text) {
    return QCoreApplication::translate("SensorDialog", text);
}

}  // namespace

SensorAsks withSensorDialogs(SensorAsks asks) {
    if (!asks.file) {
        asks.file = [](QWidget* parent, bool meals) {
            return QFileDialog::getOpenFileName(
                parent, meals ? say("Choose the file of meals") : say("Choose the file of readings"), {},
                say("Text (*.csv *.txt *.tsv *.dat);;All files (*)"));
        };
    }
    if (!asks.folder) {
        asks.folder = [](QWidget* parent, const QString& suggestion) {
            return QFileDialog::getSaveFileName(parent, say("Name of the new study folder"), suggestion,
                                                say("Folder (*)"));
        };
    }
    return asks;
}

}  // namespace aftercurve
