#include "ui/window/window_setup.h"

#include <QCoreApplication>
#include <QDir>
#include <QFile>
#include <QFileDialog>
#include <QJsonDocument>
#include <QJsonObject>
#include <QMessageBox>

namespace aftercurve {

namespace {

QString say(const char* text) {
    return QCoreApplication::translate("WindowSetup", text);
}

SaveAnswer askToSave(QWidget* parent, const QString& study) {
    QMessageBox box(parent);
    box.setIcon(QMessageBox::Question);
    box.setWindowTitle(say("Save the study?"));
    box.setText(say("“%1” was changed.").arg(study));
    box.setInformativeText(say("Without saving, the files stay as they were."));
    box.setStandardButtons(QMessageBox::Save | QMessageBox::Discard | QMessageBox::Cancel);
    box.setDefaultButton(QMessageBox::Save);
    switch (box.exec()) {
        case QMessageBox::Save:
            return SaveAnswer::save;
        case QMessageBox::Discard:
            return SaveAnswer::discard;
        default:
            return SaveAnswer::cancel;
    }
}

}  // namespace

WindowSetup withDialogs(WindowSetup setup) {
    if (!setup.askToSave) {
        setup.askToSave = askToSave;
    }
    if (!setup.askFolder) {
        setup.askFolder = [](QWidget* parent, const QString& startIn) {
            return QFileDialog::getExistingDirectory(parent, say("Open study folder"), startIn);
        };
    }
    if (!setup.askFile) {
        setup.askFile = [](QWidget* parent, const QString& suggestion, const QString& filter) {
            return QFileDialog::getSaveFileName(parent, say("Write file"), suggestion, filter);
        };
    }
    if (!setup.askSchedule) {
        setup.askSchedule = [](QWidget* parent) {
            return QFileDialog::getOpenFileName(parent, say("Check a schedule"), {},
                                                say("CSV file (*.csv);;All files (*)"));
        };
    }
    if (!setup.askScheduleFolder) {
        setup.askScheduleFolder = [](QWidget* parent) {
            return QFileDialog::getExistingDirectory(parent, say("Folder for the schedule"));
        };
    }
    if (!setup.askExportFolder) {
        setup.askExportFolder = [](QWidget* parent, const QString& startIn) {
            return QFileDialog::getExistingDirectory(parent, say("Folder for the figures"), startIn);
        };
    }
    if (!setup.askFigureFile) {
        setup.askFigureFile = [](QWidget* parent) {
            return QFileDialog::getOpenFileName(parent, say("Load a file of figures"), {},
                                                say("File of figures (*.json);;All files (*)"));
        };
    }
    if (!setup.takeIn.files) {
        setup.takeIn.files = [](QWidget* parent) {
            return QFileDialog::getOpenFileNames(
                parent, say("Choose a laboratory's files"), {},
                say("Text and workbooks (*.csv *.txt *.tsv *.dat *.xlsx);;All files (*)"));
        };
    }
    if (!setup.takeIn.folder) {
        setup.takeIn.folder = [](QWidget* parent) {
            return QFileDialog::getExistingDirectory(parent, say("Folder of the new study"));
        };
    }
    if (!setup.takeIn.mapping) {
        setup.takeIn.mapping = [](QWidget* parent, bool save) {
            const QString filter = say("Mapping (*.json)");
            return save ? QFileDialog::getSaveFileName(parent, say("Write the mapping"), {}, filter)
                        : QFileDialog::getOpenFileName(parent, say("Read a mapping"), {}, filter);
        };
    }
    return setup;
}

std::vector<SampleStudy> sampleStudiesIn(const QString& folder) {
    std::vector<SampleStudy> found;
    if (folder.isEmpty()) {
        return found;
    }
    const QDir dir(folder);
    for (const QString& name : dir.entryList(QDir::Dirs | QDir::NoDotAndDotDot, QDir::Name)) {
        QFile file(dir.filePath(name + QStringLiteral("/study.json")));
        if (!file.open(QIODevice::ReadOnly)) {
            continue;
        }
        const QString title =
            QJsonDocument::fromJson(file.readAll()).object().value(QStringLiteral("title")).toString();
        found.push_back({title.isEmpty() ? name : title.section(u',', 0, 0), dir.filePath(name)});
    }
    return found;
}

QString sampleStudiesFolder(const QString& programFolder) {
    const QDir installed(programFolder + QStringLiteral("/../share/aftercurve/sample_studies"));
    if (installed.exists()) {
        return installed.canonicalPath();
    }
    QDir up(programFolder);
    for (int level = 0; level < 4; ++level) {
        if (up.exists(QStringLiteral("sample_studies"))) {
            return up.filePath(QStringLiteral("sample_studies"));
        }
        if (!up.cdUp()) {
            break;
        }
    }
    return {};
}

}  // namespace aftercurve
