#include <QDateTime>
#include <algorithm>
#include <filesystem>

#include "core/findings/validate_plan.h"
#include "ui/models/text.h"
#include "ui/window/edit/figure_edit.h"
#include "ui/window/edit/study_edit.h"
#include "ui/window/session.h"

namespace aftercurve {

namespace {

std::string now() {
    return plain(QDateTime::currentDateTimeUtc().toString(Qt::ISODate));
}

Problem refusal(std::string what, std::string remedy) {
    Problem problem;
    problem.what = std::move(what);
    problem.remedy = std::move(remedy);
    return problem;
}

}  // namespace

void Session::setAuthorship(const Authorship& author) {
    if (author.by != authorship_.by || author.why != authorship_.why) {
        authorship_ = author;
        Q_EMIT authorshipChanged();
    }
}

Result<Done> Session::change(const std::vector<Change>& changes, const QString& name) {
    return changeAs(changes, name, authorship_);
}

Result<Done> Session::changeAs(const std::vector<Change>& changes, const QString& name,
                               const Authorship& author) {
    if (!study_) {
        return refusal("there is no study to change", "open one");
    }
    if (!readOnlyBecause().isEmpty()) {
        return refusal("the study cannot be changed here: " + plain(readOnlyBecause()), "save a copy of it");
    }
    if (author.by.trimmed().isEmpty() || author.why.trimmed().isEmpty()) {
        return refusal("who changes the study, and why, is not said yet",
                       "fill in both beside the table; they go into the ledger with every change");
    }
    Study trial = *study_;
    trial.plan = plan_;
    std::vector<Change> inverses;
    for (const Change& one : changes) {
        Result<Change> back = apply(trial, one);
        if (!back) {
            return back.problem();
        }
        inverses.push_back(std::move(back).value());
    }
    undo_.push(new StudyEdit(*this, name, changes, std::move(inverses), author));
    return Done{};
}

void Session::applyChanges(const std::vector<Change>& changes, const Authorship& author) {
    auto edited = std::make_shared<Study>(*study_);
    edited->plan = plan_;
    for (const Change& one : changes) {
        // Each was tried before it came on the undo stack, whose order keeps it fitting.
        [[maybe_unused]] const bool fits = apply(*edited, one).ok();
        Q_ASSERT(fits);
        noteForRecovery(one, author);
    }
    // The name of a food may stand in the plan.
    const bool planChanged = edited->plan != plan_;
    plan_ = edited->plan;
    study_ = std::move(edited);
    ++dataState_;
    planErrors_ = validatePlan(*study_, plan_);
    std::erase_if(planErrors_, [](const Problem& problem) { return problem.severity != Severity::error; });
    Q_EMIT studyEdited();
    if (planChanged || !planErrors_.empty()) {
        Q_EMIT this->planChanged();
    }
    compute();
}

Result<Done> Session::editFigures(std::vector<FigureSpec> figures, const QString& name, const QString& part) {
    if (!study_) {
        return refusal("there is no study to change", "open one");
    }
    if (!readOnlyBecause().isEmpty()) {
        return refusal("the study cannot be changed here: " + plain(readOnlyBecause()), "save a copy of it");
    }
    Study trial;
    if (const Result<Change> fits = apply(trial, SetFigures{figures}); !fits) {
        return fits.problem();
    }
    if (figures != study_->figures) {
        undo_.push(new FigureEdit(*this, study_->figures, std::move(figures), name, part));
    }
    return Done{};
}

void Session::setFigures(std::vector<FigureSpec> figures) {
    auto edited = std::make_shared<Study>(*study_);
    edited->figures = std::move(figures);
    study_ = std::move(edited);
    figuresRest_.start();
    Q_EMIT figuresChanged();
}

void Session::noteFigures() {
    figuresRest_.stop();
    noteForRecovery(SetFigures{study_->figures}, authorship_);
    Q_EMIT figuresRested();
}

void Session::makeChanges(const std::vector<Change>& changes, int step, const Authorship& author) {
    Study before = *study_;
    before.plan = plan_;
    journal_.add(before, changes, step, author, now());
    applyChanges(changes, author);
}

void Session::takeBackChanges(const std::vector<Change>& changes, int step, const Authorship& author) {
    if (!journal_.takeAway(step)) {
        Study before = *study_;
        before.plan = plan_;
        const Authorship back{author.by, tr("taken back: %1").arg(author.why)};
        journal_.add(before, changes, step, back, now());
    }
    applyChanges(changes, author);
}

std::vector<MadeChange> Session::unsavedChanges() const {
    std::vector<MadeChange> changes = journal_.changes();
    if (plan_ != savedPlan_) {
        Study before = *study_;
        before.plan = savedPlan_;
        MadeChange made;
        made.change = SetPlan{plan_};
        made.text = describe(before, made.change);
        made.by = plain(authorship_.by);
        made.why = plain(authorship_.why);
        made.on = now();
        changes.push_back(std::move(made));
    }
    if (study_->figures != savedFigures_) {
        Study before;
        before.figures = savedFigures_;
        MadeChange made;
        made.change = SetFigures{study_->figures};
        made.text = describe(before, made.change);
        made.by = plain(authorship_.by);
        made.why = plain(authorship_.why);
        made.on = now();
        changes.push_back(std::move(made));
    }
    return changes;
}

void Session::ignoreExclusions(bool ignore) {
    if (study_ && ignore != exclusionsIgnored_) {
        exclusionsIgnored_ = ignore;
        compute();
        Q_EMIT planChanged();
    }
}

QString Session::readOnlyBecause() const {
    return guard_ ? guard_->readOnlyBecause() : QString();
}

void Session::guardFolder() {
    guard_.reset();  // frees the lock of the folder before, which may be this one
    guard_ = std::make_unique<StudyGuard>(std::filesystem::path(folder_.toStdU16String()), study_->inputs);
    connect(guard_.get(), &StudyGuard::changedOnDisk, this, &Session::changedOnDisk);
    connect(guard_.get(), &StudyGuard::logFailed, this, &Session::safetyFailed);
}

void Session::noteForRecovery(const Change& change, const Authorship& author) {
    if (figuresRest_.isActive() && !std::holds_alternative<SetFigures>(change)) {
        noteFigures();  // in the order in which things happened
    }
    if (guard_ && !replaying_) {
        guard_->note(change, author);
    }
}

const Recovery* Session::leftBehind() const {
    return guard_ && guard_->recovery() ? &*guard_->recovery() : nullptr;
}

Result<Done> Session::takeUpLeftBehind() {
    if (leftBehind() == nullptr) {
        return Done{};
    }
    std::optional<Problem> problem;
    const std::vector<LoggedChange> changes = loggedChanges(*leftBehind(), problem);
    replaying_ = true;
    for (const LoggedChange& one : changes) {
        if (const auto* plan = std::get_if<SetPlan>(&one.change)) {
            editPlan(plan->plan, PlanPart::whole);
            continue;
        }
        if (const auto* set = std::get_if<SetFigures>(&one.change)) {
            if (const Result<Done> done = editFigures(set->figures, tr("change taken up again"), {}); !done) {
                problem = done.problem();
                break;
            }
            continue;
        }
        if (const Result<Done> done = changeAs({one.change}, tr("change taken up again"), one.author);
            !done) {
            problem = done.problem();
            break;
        }
    }
    replaying_ = false;
    guard_->resumeRecovery();
    return problem ? Result<Done>(*problem) : Result<Done>(Done{});
}

void Session::dropLeftBehind() {
    if (guard_) {
        guard_->discardRecovery();
    }
}

void Session::abandonChanges() {
    figuresRest_.stop();
    if (guard_ && leftBehind() == nullptr) {
        guard_->settle(study_->inputs);
    }
}

std::shared_ptr<Study> Session::studyToSave() const {
    auto saving = std::make_shared<Study>(*study_);
    saving->plan = plan_;
    return saving;
}

void Session::takeSaved(std::shared_ptr<Study> saved) {
    const bool current = resultsDataState_ == dataState_;
    study_ = std::move(saved);
    savedPlan_ = plan_;
    savedFigures_ = study_->figures;
    figuresRest_.stop();
    journal_.clear();
    guard_->settle(study_->inputs);
    undo_.setClean();
    Q_EMIT studyEdited();
    Q_EMIT this->saved();
    if (!current) {
        compute();  // the run under way was of the study before the save
    }
}

Result<Done> Session::save() {
    const auto saving = studyToSave();
    Result<Done> done = saveStudy(std::filesystem::path(folder_.toStdU16String()), *saving, unsavedChanges());
    if (done) {
        takeSaved(saving);
    }
    return done;
}

void Session::startSaving(std::function<void(const Result<Done>&)> done) {
    saving_.start([this, saving = studyToSave(), changes = unsavedChanges(),
                   folder = std::filesystem::path(folder_.toStdU16String()),
                   done = std::move(done)](const Progress&) -> LatestRun::Delivery {
        const Result<Done> result = saveStudy(folder, *saving, changes);
        return [this, saving, result, done] {
            if (result) {
                takeSaved(saving);
            }
            done(result);
        };
    });
}

}  // namespace aftercurve
