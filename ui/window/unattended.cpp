#include "ui/window/unattended.h"

#include <QCoreApplication>
#include <QPixmap>
#include <QTimer>
#include <cstdio>

#include "ui/models/text.h"
#include "ui/takein/take_in_window.h"
#include "ui/window/figure_view.h"
#include "ui/window/main_window.h"
#include "ui/window/pages/page.h"
#include "ui/window/start_clock.h"

namespace aftercurve {

namespace {

/// Layout, queued replots and the results of the first run have settled by then.
constexpr int settledMs = 400;

}  // namespace

Unattended::Unattended(MainWindow& window) : QObject(&window), window_(window) {}

void Unattended::quitOnFailure() {
    connect(&window_.session(), &Session::readFailed, this,
            [](const QString&, const std::vector<Problem>& problems) {
                for (const Problem& problem : problems) {
                    std::fprintf(stderr, "%s\n", lineFor(problem).c_str());
                }
                QCoreApplication::exit(3);
            });
}

void Unattended::takePicture(const QString& file) {
    const auto save = [this, file] {
        QTimer::singleShot(settledMs, this,
                           [this, file] { QCoreApplication::exit(window_.grab().save(file) ? 0 : 1); });
    };
    if (!window_.session().isBusy()) {
        save();
        return;
    }
    connect(&window_.session(), &Session::busyChanged, this, [save](bool busy) {
        if (!busy) {
            save();
        }
    });
}

void Unattended::takePictureOfTakeIn(const QString& file) {
    auto* takeIn = window_.findChild<TakeInWindow*>();
    if (takeIn == nullptr) {
        QCoreApplication::exit(1);
        return;
    }
    const auto save = [this, takeIn, file] {
        QTimer::singleShot(settledMs, this,
                           [takeIn, file] { QCoreApplication::exit(takeIn->grab().save(file) ? 0 : 1); });
    };
    connect(&takeIn->session(), &TakeInSession::tried, this, save);
    connect(&takeIn->session(), &TakeInSession::openFailed, this, save);
}

void Unattended::measureStart() {
    quitOnFailure();
    window_.setStep(Step::curves);
    connect(window_.page(Step::curves).figure(), &FigureView::drawn, this, [] {
        const auto ms = millisecondsSinceProcessStart();
        std::printf("first curve drawn %.0f ms after the start of the process\n", ms.value_or(0.0));
        std::fflush(stdout);
        QCoreApplication::exit(0);
    });
}

}  // namespace aftercurve
