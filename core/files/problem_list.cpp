#include "core/files/problem_list.h"

#include <algorithm>
#include <utility>

#include "core/files/excerpt.h"

namespace aftercurve {

namespace {

Severity severityOf(Weight weight) {
    switch (weight) {
        case Weight::note:
            return Severity::note;
        case Weight::warning:
            return Severity::warning;
        case Weight::error:
        case Weight::fatal:
            return Severity::error;
    }
    return Severity::error;
}

}  // namespace

bool ProblemList::makeRoom(Weight weight) {
    failed_ = failed_ || weight == Weight::fatal;
    if (listed_.size() < limit_) {
        return true;
    }
    ++unlisted_;
    heaviestUnlisted_ = std::max(heaviestUnlisted_, weight);
    const auto lightest = std::min_element(listed_.rbegin(), listed_.rend(),
                                           [](const auto& a, const auto& b) { return a.weight < b.weight; });
    if (lightest == listed_.rend() || lightest->weight >= weight) {
        return false;
    }
    listed_.erase(std::next(lightest).base());
    return true;
}

void ProblemList::keep(Weight weight, Problem problem) {
    problem.severity = severityOf(weight);
    listed_.push_back({weight, std::move(problem)});
}

std::vector<Problem> ProblemList::take() {
    std::vector<Problem> problems;
    problems.reserve(listed_.size() + 1);
    for (Listed& entry : listed_) {
        problems.push_back(std::move(entry.problem));
    }
    listed_.clear();
    if (unlisted_ > 0) {
        Problem last;
        last.severity = severityOf(heaviestUnlisted_);
        last.what = std::to_string(unlisted_) +
                    (unlisted_ == 1 ? " further problem is" : " further problems are") + " not listed";
        last.remedy = "mend those listed and read the study again";
        problems.push_back(std::move(last));
    }
    return problems;
}

Problem problemAt(std::string_view file, std::size_t row, std::string_view column, std::string what,
                  std::string remedy) {
    Problem problem;
    problem.file = printable(file);
    problem.row = row;
    problem.column = shortened(column);
    problem.what = std::move(what);
    problem.remedy = std::move(remedy);
    return problem;
}

}  // namespace aftercurve
