#pragma once

#include <QObject>
#include <QString>
#include <memory>
#include <vector>

#include "core/sensor/sensor_study.h"
#include "ui/work/latest_run.h"

namespace aftercurve {

/// What is cut, from what, and how.
struct SensorRequest {
    QString readingsFile;
    QString mealsFile;
    SensorReadOptions reading;
    std::optional<DateOrder> mealDateOrder;
    SensorCutOptions cut;
};

/// What came of it. Parts are absent where they could not be made.
struct SensorOutcome {
    std::shared_ptr<const SensorReadings> readings;
    std::shared_ptr<const MealMarks> marks;
    std::shared_ptr<const SensorCurves> curves;
    SensorCutOptions cut;               ///< that the curves were cut with
    std::vector<Problem> readProblems;  ///< of the two files
    std::vector<Problem> problems;      ///< these, and those of the cut
};

/// Readings of a sensor on their way into a study. Reading, smoothing, cutting and writing happen on a
/// worker; every member is used on the window's thread only.
class SensorSession : public QObject {
    Q_OBJECT

  public:
    explicit SensorSession(QObject* parent = nullptr);

    /// Cuts anew; the files are read again only where they or how to read them changed. An older request that
    /// is still worked on is dropped.
    void request(const SensorRequest& request, bool readAgain);
    const SensorOutcome& outcome() const { return outcome_; }
    bool isBusy() const { return cutting_.isRunning() || writing_.isRunning(); }
    void stop();

    /// Writes the curves as a new study; the folder must not be there.
    void write(const QString& folder, const SensorStudyOptions& options);

  Q_SIGNALS:
    void cut();
    void stopped();
    void progressed(double share);
    void busyChanged(bool busy);
    void written(const QString& folder);
    void writeFailed(const aftercurve::Problem& problem);

  private:
    SensorOutcome outcome_;
    bool filesRead_ = false;  ///< the outcome holds what the files hold
    LatestRun cutting_;
    LatestRun writing_;
};

}  // namespace aftercurve
