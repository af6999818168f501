#include "core/check/acceptance.h"

#include <algorithm>
#include <string>

#include "core/check/check.h"

namespace aftercurve {

namespace {

bool matches(const std::string& wanted, const std::string& given) {
    return wanted.empty() || wanted == given;
}

std::string reasonOf(const Acceptance& acceptance) {
    std::string reason = acceptance.because.empty() ? "no reason given" : acceptance.because;
    if (!acceptance.by.empty()) {
        reason += "; " + acceptance.by;
    }
    if (!acceptance.on.empty()) {
        reason += (acceptance.by.empty() ? "; " : ", ") + acceptance.on;
    }
    return reason;
}

Problem idle(const Acceptance& acceptance, std::size_t position) {
    Problem p;
    p.severity = Severity::note;
    p.file = "study.json";
    p.column = "accepted[" + std::to_string(position) + "]";
    p.subject = acceptance.subject;
    p.food = acceptance.food;
    p.visit = acceptance.visit.value_or(0);
    p.analyte = acceptance.analyte;
    p.timeMin = acceptance.timeMin;
    if (isCheckKey(acceptance.check)) {
        p.what = p.column + ": accepted, but no such warning of the check '" + acceptance.check +
                 "' any more (\"" + acceptance.because + "\")";
        p.remedy = "remove the entry, or mend its subject, food, visit, analyte or time";
    } else {
        p.what = p.column + ": accepted, but there is no check '" + acceptance.check + "'";
        p.remedy = "the method handbook lists the keys of the checks";
    }
    return p;
}

}  // namespace

bool accepts(const Acceptance& acceptance, const Problem& problem) {
    return !acceptance.check.empty() && acceptance.check == problem.check &&
           problem.severity != Severity::error && matches(acceptance.subject, problem.subject) &&
           matches(acceptance.food, problem.food) && matches(acceptance.analyte, problem.analyte) &&
           (!acceptance.visit || *acceptance.visit == problem.visit) &&
           (!acceptance.timeMin || acceptance.timeMin == problem.timeMin);
}

void applyAcceptances(std::vector<Problem>& problems, std::span<const Acceptance> accepted) {
    std::vector<bool> used(accepted.size(), false);
    for (Problem& problem : problems) {
        if (problem.check.empty()) {
            continue;
        }
        for (std::size_t a = 0; a < accepted.size(); ++a) {
            if (accepts(accepted[a], problem)) {
                if (problem.acceptedBecause.empty()) {
                    problem.acceptedBecause = reasonOf(accepted[a]);
                }
                used[a] = true;
            }
        }
    }
    for (std::size_t a = 0; a < accepted.size(); ++a) {
        if (!used[a]) {
            problems.push_back(idle(accepted[a], a));
        }
    }
}

void sortProblems(std::vector<Problem>& problems) {
    std::stable_sort(problems.begin(), problems.end(), [](const Problem& a, const Problem& b) {
        return a.severity != b.severity ? a.severity > b.severity
                                        : a.acceptedBecause.empty() && !b.acceptedBecause.empty();
    });
}

}  // namespace aftercurve
