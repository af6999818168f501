#include "ui/window/sensor/sensor_session.h"

#include <filesystem>
#include <system_error>

#include "core/base/progress_part.h"
#include "core/edit/save_study.h"
#include "core/files/problem_list.h"
#include "core/intake/source.h"

namespace aftercurve {

namespace {

std::filesystem::path pathFrom(const QString& path) {
    return std::filesystem::path(path.toStdU16String());
}

void append(std::vector<Problem>& to, const std::vector<Problem>& problems) {
    to.insert(to.end(), problems.begin(), problems.end());
}

/// False where it was stopped.
bool readFiles(const SensorRequest& request, SensorOutcome& outcome, const Progress& progress) {
    const Result<Source> meals = openSource(pathFrom(request.mealsFile));
    if (meals) {
        MealMarkOptions options;
        options.dateOrder = request.mealDateOrder;
        MealMarksRead read = readMealMarks(meals.value(), options);
        append(outcome.readProblems, read.problems);
        if (read.marks) {
            outcome.marks = std::make_shared<const MealMarks>(std::move(*read.marks));
        }
    } else {
        outcome.readProblems.push_back(meals.problem());
    }
    const Result<Source> readings = openSource(pathFrom(request.readingsFile));
    if (!readings) {
        outcome.readProblems.push_back(readings.problem());
        return true;
    }
    SensorReadingsRead read = readSensorReadings(readings.value(), request.reading, progress);
    append(outcome.readProblems, read.problems);
    if (read.readings) {
        outcome.readings = std::make_shared<const SensorReadings>(std::move(*read.readings));
    }
    return !read.stopped;
}

}  // namespace

SensorSession::SensorSession(QObject* parent) : QObject(parent) {
    for (LatestRun* run : {&cutting_, &writing_}) {
        connect(run, &LatestRun::runningChanged, this, [this] { Q_EMIT busyChanged(isBusy()); });
        connect(run, &LatestRun::progressed, this, [this](double share) { Q_EMIT progressed(share); });
    }
}

void SensorSession::request(const SensorRequest& request, bool readAgain) {
    const bool read = readAgain || !filesRead_;
    if (read) {
        filesRead_ = false;
    }
    cutting_.start([this, request, read, before = outcome_](const Progress& progress) -> LatestRun::Delivery {
        SensorOutcome outcome;
        if (read) {
            if (!readFiles(request, outcome, partOf(progress, 0.0, 0.7))) {
                return [] {};
            }
        } else {
            outcome.readings = before.readings;
            outcome.marks = before.marks;
            outcome.readProblems = before.readProblems;
        }
        outcome.cut = request.cut;
        outcome.problems = outcome.readProblems;
        if (outcome.readings && outcome.marks) {
            Result<SensorCurves> curves =
                sensorCurves(*outcome.readings, *outcome.marks, request.cut, partOf(progress, 0.7, 1.0));
            if (curves) {
                append(outcome.problems, curves.value().problems);
                outcome.curves = std::make_shared<const SensorCurves>(std::move(curves).value());
            } else {
                append(outcome.problems, {curves.problem()});
            }
        }
        return [this, outcome = std::move(outcome)] {
            outcome_ = outcome;
            filesRead_ = true;
            Q_EMIT cut();
        };
    });
}

void SensorSession::stop() {
    const bool wasBusy = cutting_.isRunning();
    cutting_.stop();
    if (wasBusy) {
        Q_EMIT stopped();
    }
}

void SensorSession::write(const QString& folder, const SensorStudyOptions& options) {
    if (!outcome_.curves) {
        return;
    }
    writing_.start([this, folder, options, curves = outcome_.curves,
                    cut = outcome_.cut](const Progress& progress) -> LatestRun::Delivery {
        const auto fail = [this](const Problem& problem) -> LatestRun::Delivery {
            return [this, problem] { Q_EMIT writeFailed(problem); };
        };
        std::error_code error;
        if (std::filesystem::symlink_status(pathFrom(folder), error).type() !=
            std::filesystem::file_type::not_found) {
            return fail(problemAt({}, 0, {}, "the folder is there already; nothing is written",
                                  "choose a folder that is not there"));
        }
        progress(0.1, "writing");
        const Result<Study> study = studyOfSensorCurves(*curves, cut, options);
        if (!study) {
            return fail(study.problem());
        }
        if (const Result<Done> done = writeNewStudy(pathFrom(folder), study.value()); !done) {
            return fail(done.problem());
        }
        return [this, folder] { Q_EMIT written(folder); };
    });
}

}  // namespace aftercurve
