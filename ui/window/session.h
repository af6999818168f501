#pragma once

#include <QObject>
#include <QString>
#include <QTimer>
#include <QUndoStack>
#include <cstdint>
#include <functional>
#include <memory>
#include <vector>

#include "core/base/result.h"
#include "core/edit/edit.h"
#include "ui/window/edit/journal.h"
#include "ui/window/edit/study_guard.h"
#include "ui/window/results.h"
#include "ui/work/latest_run.h"

namespace aftercurve {

/// Parts of the plan that one control of the sentence changes; edits of the same part merge in the undo list.
enum class PlanPart {
    measure,
    secondary,
    windowEnd,
    baseline,
    gaps,
    comparator,
    alpha,
    multiplicity,
    index,
    assay,
    whole
};

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
    bool isBusy() const { return reading_.isRunning() || computing_.isRunning() || saving_.isRunning(); }

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

    /// Makes changes of the study as one step on the undo stack, all of them or none, and computes anew.
    /// Fails where the study may not be edited, no reason is given (Authorship::why), or a change does not
    /// fit.
    Result<Done> change(const std::vector<Change>& changes, const QString& name);
    /// The same with a reason of its own (that of an exclusion, say).
    Result<Done> changeAs(const std::vector<Change>& changes, const QString& name, const Authorship& author);
    /// Who edits and why; asked for once, kept for the changes that follow.
    const Authorship& authorship() const { return authorship_; }
    void setAuthorship(const Authorship& author);
    /// Puts the figures of the manuscript in place of those there are, as one step on the undo stack; no
    /// number depends on them, so nothing is computed and no reason is asked for. Steps of the same `part`,
    /// one after the other, are one; an empty part is a step of its own. Fails where the study may not be
    /// edited.
    Result<Done> editFigures(std::vector<FigureSpec> figures, const QString& name, const QString& part);
    /// Why the study may not be edited (another window has it open, the folder is read-only); empty: it may.
    QString readOnlyBecause() const;
    /// Changes since the last save, the plan's among them.
    std::vector<MadeChange> unsavedChanges() const;
    /// Shows all results as if nothing were excluded.
    void ignoreExclusions(bool ignore);
    bool exclusionsIgnored() const { return exclusionsIgnored_; }

    Result<Done> save();
    /// The same on the worker, for a study whose files take long to write; nothing may be changed until
    /// `done` is called, on the window's thread.
    void startSaving(std::function<void(const Result<Done>&)> done);
    /// Drops the changes since the last save, for good; the study is about to be closed.
    void abandonChanges();

    /// What a program that ended early left behind; null where there is nothing.
    const Recovery* leftBehind() const;
    /// Makes those changes again. Fails where one no longer fits; those before it are made.
    Result<Done> takeUpLeftBehind();
    void dropLeftBehind();

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
    /// The study was edited: rows, values, exclusions. `study()` is the new one.
    void studyEdited();
    /// The study's figures changed; its data did not.
    void figuresChanged();
    /// Typing or dragging has come to a rest after such changes.
    void figuresRested();
    void authorshipChanged();
    /// Files of the open study that another program changed.
    void changedOnDisk(const QStringList& files);
    /// Unsaved changes cannot be kept against a crash.
    void safetyFailed(const aftercurve::Problem& problem);
    void saved();

  private:
    friend class FigureEdit;
    friend class PlanEdit;
    friend class StudyEdit;

    int nextStep() { return ++lastStep_; }
    void makeChanges(const std::vector<Change>& changes, int step, const Authorship& author);
    void takeBackChanges(const std::vector<Change>& changes, int step, const Authorship& author);
    void applyChanges(const std::vector<Change>& changes, const Authorship& author);
    void noteForRecovery(const Change& change, const Authorship& author);
    void guardFolder();
    std::shared_ptr<Study> studyToSave() const;
    void takeSaved(std::shared_ptr<Study> saved);

    void setPlan(const Plan& plan);
    void setFigures(std::vector<FigureSpec> figures);
    void noteFigures();
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
    Plan savedPlan_;
    Journal journal_;
    int lastStep_ = 0;
    Authorship authorship_;
    std::unique_ptr<StudyGuard> guard_;
    bool replaying_ = false;  ///< changes come from the log, so that they do not go into it
    bool exclusionsIgnored_ = false;
    bool resultsIgnoredExclusions_ = false;
    std::int64_t dataState_ = 0;          ///< counts what was read and edited, but for the figures
    std::int64_t resultsDataState_ = -1;  ///< the state that `results_` were made of
    QUndoStack undo_;
    LatestRun reading_;
    LatestRun computing_;
    LatestRun saving_;
    std::vector<FigureSpec> savedFigures_;
    QTimer figuresRest_;  ///< typing and dragging go into the log when they rest
};

}  // namespace aftercurve
