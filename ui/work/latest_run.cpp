#include "ui/work/latest_run.h"

#include <QElapsedTimer>
#include <QtConcurrent>
#include <utility>

#include "ui/models/text.h"

namespace aftercurve {

struct LatestRun::Run {
    std::atomic<bool> stopped{false};
};

namespace {

/// Progress is told this often at most, so that a fast loop cannot flood the owner's event queue.
constexpr qint64 tellEveryMs = 50;

}  // namespace

LatestRun::LatestRun(QObject* parent) : QObject(parent) {
    // Two, so that a newer run need not wait for the older one to notice that it was stopped.
    threads_.setMaxThreadCount(2);
}

LatestRun::~LatestRun() {
    if (current_) {
        current_->stopped = true;
        current_.reset();
    }
    threads_.waitForDone();
}

void LatestRun::start(Work work) {
    const bool wasRunning = isRunning();
    if (current_) {
        current_->stopped = true;
    }
    auto run = std::make_shared<Run>();
    current_ = run;
    if (!wasRunning) {
        Q_EMIT runningChanged(true);
    }
    const auto body = [this, run, work = std::move(work)] {
        QElapsedTimer sinceTold;
        const auto tell = [&](double fraction, std::string_view stage) {
            if (!sinceTold.isValid() || sinceTold.elapsed() >= tellEveryMs) {
                sinceTold.start();
                QMetaObject::invokeMethod(this, [this, run, fraction, text = shown(stage)] {
                    if (current_ == run) {
                        Q_EMIT progressed(fraction, text);
                    }
                });
            }
            return !run->stopped.load();
        };
        Delivery delivery = work(tell);
        QMetaObject::invokeMethod(this, [this, run, delivery = std::move(delivery)] {
            if (current_ != run) {
                return;
            }
            current_.reset();
            delivery();
            // The delivery may have started the next piece of work; then the owner is told nothing.
            if (!current_) {
                Q_EMIT runningChanged(false);
            }
        });
    };
    // The delivery comes through the event queue, so the future itself is not needed.
    [[maybe_unused]] const QFuture<void> unneeded = QtConcurrent::run(&threads_, body);
}

void LatestRun::stop() {
    if (!current_) {
        return;
    }
    current_->stopped = true;
    current_.reset();
    Q_EMIT runningChanged(false);
}

}  // namespace aftercurve
