#pragma once

#include <QObject>
#include <QString>
#include <QThreadPool>
#include <atomic>
#include <functional>
#include <memory>

#include "core/findings/analyse.h"

namespace aftercurve {

/// Runs one piece of work at a time on a worker thread. A newer piece stops the older one, and what the older
/// one found is dropped. Work takes its inputs with it (shared immutable values) and hands back what is to be
/// done with its outcome on the owner's thread; so no state is ever seen by two threads.
class LatestRun : public QObject {
    Q_OBJECT

  public:
    using Delivery = std::function<void()>;
    using Work = std::function<Delivery(const Progress&)>;

    explicit LatestRun(QObject* parent = nullptr);
    /// Stops the work and waits for its thread.
    ~LatestRun() override;

    void start(Work work);
    /// Asks the work to stop; its delivery is dropped.
    void stop();
    bool isRunning() const { return current_ != nullptr; }

  Q_SIGNALS:
    void runningChanged(bool running);
    void progressed(double fraction, const QString& stage);

  private:
    struct Run;

    std::shared_ptr<Run> current_;
    QThreadPool threads_;
};

}  // namespace aftercurve
