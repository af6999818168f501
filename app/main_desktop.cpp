// The desktop program: a thin start of the window in ui/window.
#include <CLI/CLI.hpp>
#include <QApplication>
#include <QSettings>
#include <string>
#include <vector>

#include "core/base/caution.h"
#include "core/base/version.h"
#include "ui/models/look.h"
#include "ui/window/main_window.h"
#include "ui/window/statistics/statistics_view.h"
#include "ui/window/unattended.h"

int main(int argc, char** argv) {
    using namespace aftercurve;
    std::string study;
    std::string page;
    std::string picture;
    bool measure = false;
    std::vector<std::string> files;
    std::vector<std::string> pages;
    for (int i = 0; i < stepCount; ++i) {
        pages.push_back(stepWord(static_cast<Step>(i)).toStdString());
    }
    std::string tab;
    std::vector<std::string> tabs{"measures", "paired", "words", laboratoryDataTab, diaryDataTab};
    for (const auto& views : {measureViews(), statisticsViews(), indexViews(), laboratoryViews(),
                              toleranceViews(), evidenceViews()}) {
        for (const StatisticsView& view : views) {
            tabs.push_back(view.name.toStdString());
        }
    }
    CLI::App program{"Aftercurve: what a food does to blood glucose and insulin.\n" +
                     std::string{cautionText()}};
    program.name("aftercurve");
    program.set_version_flag("--version",
                             std::string{versionText()} + " (" + std::string{revisionText()} + ")");
    program.add_option("study", study, "Study folder, or its study.json");
    program.add_option("--take-in", files, "A laboratory's files to take in");
    program.add_option("--page", page, "Page to open on")->check(CLI::IsMember(pages));
    program.add_option("--tab", tab, "Tab of a page to open on")->check(CLI::IsMember(tabs));
    program.add_option("--screenshot", picture,
                       "Save a picture of the window once the results are in (PNG), then quit");
    program
        .add_flag("--measure-start", measure,
                  "A measuring aid: print the milliseconds from the start of the process to the first curve "
                  "drawn, then quit")
        ->needs("study");
    try {
        program.parse(argc, argv);
    } catch (const CLI::ParseError& e) {
        return program.exit(e) == 0 ? 0 : 2;
    }

    QApplication application(argc, argv);
    QApplication::setApplicationName(QStringLiteral("aftercurve"));
    QApplication::setApplicationDisplayName(QStringLiteral("Aftercurve"));
    QApplication::setApplicationVersion(
        QString::fromUtf8(versionText().data(), static_cast<qsizetype>(versionText().size())));
    QApplication::setDesktopFileName(QStringLiteral("aftercurve"));
    QApplication::setPalette(withAccent(QApplication::palette()));
    QSettings settings(QSettings::IniFormat, QSettings::UserScope, QStringLiteral("aftercurve"),
                       QStringLiteral("aftercurve"));

    WindowSetup setup;
    setup.settings = &settings;
    setup.samples = sampleStudiesIn(sampleStudiesFolder(QApplication::applicationDirPath()));
    MainWindow window(std::move(setup));
    if (!study.empty()) {
        window.openStudy(QString::fromStdString(study));
    }
    for (int i = 0; i < stepCount; ++i) {
        if (page == pages[static_cast<std::size_t>(i)]) {
            if (static_cast<Step>(i) == Step::planning && study.empty()) {
                window.showPlanning();
            } else {
                window.setStep(static_cast<Step>(i));
            }
        }
    }
    if (!tab.empty()) {
        window.showTab(QString::fromStdString(tab));
    }
    Unattended unattended(window);
    if (measure) {
        unattended.measureStart();
    }
    if (!files.empty()) {
        QStringList paths;
        for (const std::string& file : files) {
            paths << QString::fromStdString(file);
        }
        window.show();
        window.takeInFiles(paths);
        if (!picture.empty()) {
            unattended.takePictureOfTakeIn(QString::fromStdString(picture));
        }
    } else if (!picture.empty()) {
        unattended.takePicture(QString::fromStdString(picture));
    }
    window.show();
    return QApplication::exec();
}
