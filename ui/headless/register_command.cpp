#include "ui/headless/register_command.h"

#include <ostream>

#include "core/edit/save_study.h"
#include "core/files/folder_lock.h"
#include "core/files/registered_plan_json.h"
#include "core/files/study_folder.h"
#include "core/findings/validate_plan.h"

namespace aftercurve {

namespace {

Exit failed(const Problem& problem, std::ostream& messages) {
    messages << lineFor(problem) << '\n';
    return Exit::unreadable;
}

}  // namespace

Exit runRegister(const RegisterArguments& arguments, std::ostream& out, std::ostream& messages) {
    const LockAnswer lock = lockFolder(arguments.study, "aftercurve-run", arguments.on);
    if (lock.outcome != LockOutcome::locked) {
        return failed(*lock.problem, messages);
    }
    StudyReading reading = readStudyFolder(arguments.study);
    if (!reading.study) {
        for (const Problem& problem : reading.problems) {
            messages << lineFor(problem) << '\n';
        }
        return Exit::unreadable;
    }
    Study& study = *reading.study;
    for (const Problem& problem : validatePlan(study, study.plan)) {
        if (problem.severity == Severity::error) {
            return failed(problem, messages);
        }
    }
    const RegisteredPlan registered = registrationOf(study.plan, arguments.on, arguments.by, arguments.note);
    if (!study.registered.empty() && study.registered.back().sha256 == registered.sha256) {
        messages << "note: this plan is registered already, on " << study.registered.back().on << '\n';
        out << registered.sha256 << '\n';
        return Exit::done;
    }
    MadeChange made;
    SetRegistered set{study.registered};
    set.registered.push_back(registered);
    made.change = set;
    made.text = describe(study, made.change);
    made.to = registered.sha256;
    made.by = arguments.by;
    made.on = arguments.on;
    made.why = arguments.note;
    if (const auto applied = apply(study, made.change); !applied.ok()) {
        return failed(applied.problem(), messages);
    }
    if (const auto saved = saveStudy(arguments.study, study, std::span{&made, 1}); !saved.ok()) {
        return failed(saved.problem(), messages);
    }
    out << registered.sha256 << '\n';
    return Exit::done;
}

}  // namespace aftercurve
