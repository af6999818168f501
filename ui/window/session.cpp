#include "ui/window/session.h"

#include <QDir>
#include <QFileInfo>
#include <algorithm>
#include <filesystem>

#include "core/files/study_folder.h"
#include "core/findings/validate_plan.h"
#include "ui/models/text.h"
#include "ui/window/plan_edit.h"

namespace aftercurve {

namespace {

constexpr int figuresRestMs = 500;

std::filesystem::path pathOf(const QString& path) {
    return std::filesystem::path(path.toStdU16String());
}

std::vector<Problem> errorsOf(std::vector<Problem> problems) {
    std::erase_if(problems, [](const Problem& problem) { return problem.severity != Severity::error; });
    return problems;
}

}  // namespace

Session::Session(QObject* parent) : QObject(parent) {
    for (LatestRun* run : {&reading_, &computing_, &saving_}) {
        connect(run, &LatestRun::runningChanged, this, [this] { Q_EMIT busyChanged(isBusy()); });
        connect(run, &LatestRun::progressed, this, &Session::progressed);
    }
    figuresRest_.setSingleShot(true);
    figuresRest_.setInterval(figuresRestMs);
    connect(&figuresRest_, &QTimer::timeout, this, &Session::noteFigures);
    connect(&undo_, &QUndoStack::cleanChanged, this, [this](bool clean) { Q_EMIT modifiedChanged(!clean); });
}

Session::~Session() {
    // The undo stack tells of its end, and nobody is there to listen any more.
    undo_.disconnect();
    disconnect();
}

QString Session::title() const {
    if (!study_) {
        return {};
    }
    return study_->title.empty() ? QDir(folder_).dirName() : shown(study_->title);
}

void Session::open(const QString& path) {
    const QFileInfo info(path);
    const QString folder = info.isFile() ? info.absolutePath() : info.absoluteFilePath();
    reading_.start([this, folder](const Progress& progress) -> LatestRun::Delivery {
        const auto tell = [&progress](double share) { return progress(share, "reading"); };
        StudyReading reading = readStudyFolder(pathOf(folder), {}, tell);
        if (!progress(1.0, "reading")) {
            return [] {};
        }
        if (!reading.study) {
            return [this, folder, problems = std::move(reading.problems)] {
                Q_EMIT readFailed(folder, problems);
            };
        }
        auto study = std::make_shared<const Study>(std::move(*reading.study));
        return [this, folder, study, problems = std::move(reading.problems)] {
            takeStudy(folder, study, problems);
        };
    });
}

void Session::takeStudy(const QString& folder, std::shared_ptr<const Study> study,
                        std::vector<Problem> problems) {
    folder_ = folder;
    study_ = std::move(study);
    readProblems_ = std::move(problems);
    results_.reset();
    marksFrom_.reset();
    marks_ = {};
    undo_.clear();
    journal_.clear();
    exclusionsIgnored_ = false;
    plan_ = study_->plan;
    savedPlan_ = plan_;
    savedFigures_ = study_->figures;
    figuresRest_.stop();
    ++dataState_;
    planErrors_ = errorsOf(validatePlan(*study_, plan_));
    guardFolder();
    Q_EMIT studyOpened();
    Q_EMIT planChanged();
    compute();
}

void Session::cancel() {
    reading_.stop();
    computing_.stop();
}

void Session::editPlan(const Plan& plan, PlanPart part) {
    if (study_ && plan != plan_) {
        undo_.push(new PlanEdit(*this, plan_, plan, part));
    }
}

void Session::setPlan(const Plan& plan) {
    plan_ = plan;
    noteForRecovery(SetPlan{plan}, authorship_);
    planErrors_ = errorsOf(validatePlan(*study_, plan_));
    Q_EMIT planChanged();
    compute();
}

bool Session::resultsAreCurrent() const {
    return results_ && resultsPlan_ == plan_ && resultsDataState_ == dataState_ &&
           resultsIgnoredExclusions_ == exclusionsIgnored_;
}

void Session::compute() {
    if (!planErrors_.empty()) {
        computing_.stop();
        return;
    }
    computing_.start([this, study = study_, plan = plan_, problems = readProblems_, from = marksFrom_,
                      ignore = exclusionsIgnored_,
                      state = dataState_](const Progress& progress) -> LatestRun::Delivery {
        auto counted = study;
        if (ignore && !study->exclusions.empty()) {
            auto whole = std::make_shared<Study>(*study);
            whole->exclusions.clear();
            counted = std::move(whole);
        }
        Result<Results> found = computeResults(counted, plan, problems, progress, ignore);
        if (!found) {
            return [this, problem = found.problem()] {
                runFailure_ = shown(lineFor(problem));
                Q_EMIT planChanged();
            };
        }
        auto results = std::make_shared<const Results>(std::move(found).value());
        Marks marks = from ? marksBetween(*from, *results) : Marks{};
        return [this, plan, results, marks, state, ignore] {
            resultsPlan_ = plan;
            resultsDataState_ = state;
            resultsIgnoredExclusions_ = ignore;
            takeResults(results, marks);
        };
    });
}

void Session::takeResults(std::shared_ptr<const Results> results, Marks marks) {
    runFailure_.clear();
    results_ = std::move(results);
    if (!marksFrom_) {
        marksFrom_ = results_;
    }
    marks_ = std::move(marks);
    Q_EMIT planChanged();
    Q_EMIT resultsChanged();
    Q_EMIT marksChanged();
}

void Session::clearMarks() {
    marksFrom_ = results_;
    marks_ = {};
    Q_EMIT marksChanged();
    Q_EMIT resultsChanged();
}

}  // namespace aftercurve
