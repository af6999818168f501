#pragma once

#include <QObject>
#include <QString>
#include <QUndoStack>
#include <memory>
#include <vector>

#include "core/base/result.h"
#include "ui/window/results.h"
#include "ui/work/latest_run.h"

namespace aftercurve {

/// Parts of the plan that one control of the sentence changes; edits of the same part merge in the undo list.
enum class PlanPart { measure, secondary, windowEnd, baseline, gaps, comparator, alpha, multiplicity, index };

/// One study that is open: what was read, the plan as it stands, the results of the last run and what
/// changed. Reading and computing happen on a worker; every member is used on the window's thread only.
class Session : public QObject {
    Q_OBJECT

  public:
    explicit Session(QObject* parent = nullptr);
    ~Session() override;

    /// Reads a study folder, or the folder of a study.json. The study that is open stays until the new one is
    /// read.
    void open(const QString& path);
    /// Stops reading or computing; what is shown stays.
    void cancel();
    bool isBusy() const { return reading_.isRunning() || computing_.isRunning(); }

    bool hasStudy() const { return study_ != nullptr; }
    std::shared_ptr<const Study> study() const { return study_; }
    QString folder() const { return folder_; }
    QString title() const;
    const std::vector<Problem>& readProblems() const { return readProblems_; }

    const Plan& plan() const { return plan_; }
    /// Puts the change on the undo stack and computes anew.
    void editPlan(const Plan& plan, PlanPart part);
    /// Runs the plan as it stands; a change does so by itself.
    void compute();
    /// Errors of the plan as it stands; while there are any, the results are those of an older plan.
    const std::vector<Problem>& planErrors() const { return planErrors_; }
    /// What the last run failed with, besides an invalid plan; empty where it did not.
    QString runFailure() const { return runFailure_; }
    bool resultsAreCurrent() const;
    QUndoStack& undoStack() { return undo_; }
    bool isModified() const { return !undo_.isClean(); }
    Result<Done> save();

    /// Null until the first run is done.
    std::shared_ptr<const Results> results() const { return results_; }
    const Marks& marks() const { return marks_; }
    void clearMarks();

  Q_SIGNALS:
    void studyOpened();
    void readFailed(const QString& path, const std::vector<Problem>& problems);
    void planChanged();
    void resultsChanged();
    void marksChanged();
    void busyChanged(bool busy);
    void progressed(double fraction, const QString& stage);
    void modifiedChanged(bool modified);

  private:
    friend class PlanEdit;

    void setPlan(const Plan& plan);
    void takeStudy(const QString& folder, std::shared_ptr<const Study> study, std::vector<Problem> problems);
    void takeResults(std::shared_ptr<const Results> results, Marks marks);

    QString folder_;
    std::shared_ptr<const Study> study_;
    std::vector<Problem> readProblems_;
    Plan plan_;
    std::vector<Problem> planErrors_;
    QString runFailure_;
    Plan resultsPlan_;  ///< the plan that `results_` were made with
    std::shared_ptr<const Results> results_;
    std::shared_ptr<const Results> marksFrom_;  ///< marks tell what differs from these
    Marks marks_;
    QUndoStack undo_;
    LatestRun reading_;
    LatestRun computing_;
};

}  // namespace aftercurve
