#include "core/check/found.h"

#include <algorithm>
#include <array>
#include <charconv>

#include "core/base/number_text.h"
#include "core/check/acceptance.h"
#include "core/study/sample_values.h"

namespace aftercurve {

namespace {

Problem placed(const CheckInput& input, std::uint32_t subject, std::uint32_t food, std::int32_t visit) {
    Problem p;
    p.severity = Severity::warning;
    p.subject = input.study.subjects[subject].id;
    p.food = input.study.foods[food].id;
    p.visit = visit;
    p.what = "subject " + p.subject + ", " + p.food + ", visit " + std::to_string(visit);
    return p;
}

void setRow(const CheckInput& input, std::uint32_t draw, Problem& p) {
    const Draw& row = input.study.draws[draw];
    p.file = row.file < input.study.sampleFiles.size() ? input.study.sampleFiles[row.file] : "";
    p.row = row.row;
}

}  // namespace

bool Found::mayBeAccepted() {
    const auto& accepted = input_.study.accepted;
    return std::any_of(accepted.begin(), accepted.end(),
                       [this](const Acceptance& a) { return a.check == key_; });
}

void Found::count(Severity severity) {
    ++more_;
    worst_ = std::max(worst_, severity);
}

void Found::put(Severity severity, Problem problem) {
    problem.severity = severity;
    problem.check = key_;
    const auto& accepted = input_.study.accepted;
    kept_.resize(accepted.size(), 0);
    const auto by = std::find_if(accepted.begin(), accepted.end(),
                                 [&problem](const Acceptance& a) { return accepts(a, problem); });
    std::size_t& listed =
        by == accepted.end() ? open_ : kept_[static_cast<std::size_t>(by - accepted.begin())];
    if (listed >= listedProblems) {
        count(severity);
        return;
    }
    ++listed;
    problems_.push_back(std::move(problem));
}

std::vector<Problem> Found::take() {
    if (more_ > 0) {
        Problem p;
        p.severity = worst_;
        p.check = key_;
        p.what = std::to_string(more_) + " more of the check '" + key_ + "'; the first " +
                 std::to_string(listedProblems) + " are listed";
        p.remedy = "deal with those listed, then look again";
        problems_.push_back(std::move(p));
    }
    return std::move(problems_);
}

Problem problemAt(const CheckInput& input, const CheckVisit& visit) {
    Problem p = placed(input, visit.subject, visit.food, visit.visit);
    if (!visit.draws.empty()) {
        setRow(input, visit.draws.front(), p);
    }
    return p;
}

Problem problemAt(const CheckInput& input, const CheckCurve& curve) {
    Problem p = problemAt(input, input.visitOf(curve));
    if (!curve.samples.empty()) {
        setRow(input, curve.samples.front().draw, p);
    }
    p.analyte = input.analyteOf(curve).id;
    p.column = p.analyte;
    p.what += ", " + p.analyte;
    return p;
}

Problem problemAt(const CheckInput& input, const CheckCurve& curve, const CheckSample& sample) {
    Problem p = problemAt(input, curve);
    setRow(input, sample.draw, p);
    p.timeMin = sample.timeMin;
    p.what += ", " + plainNumber(sample.timeMin) + " min";
    return p;
}

Problem problemAtDraw(const CheckInput& input, std::uint32_t draw) {
    const Draw& row = input.study.draws[draw];
    Problem p = placed(input, row.subject, row.food, row.visit);
    setRow(input, draw, p);
    p.column = "time_min";
    p.timeMin = timeOfDraw(input.study, input.plan, draw);
    p.what += ", " + plainNumber(*p.timeMin) + " min";
    return p;
}

Problem problemAtRecord(const CheckInput& input, const VisitRecord& record) {
    Problem p = placed(input, record.subject, record.food, record.visit);
    p.file = input.study.visitsFile;
    p.row = record.row;
    return p;
}

std::string amount(double value, std::string_view unit) {
    std::array<char, 32> text{};
    const auto end =
        std::to_chars(text.data(), text.data() + text.size(), value, std::chars_format::general, 4).ptr;
    std::string shown{text.data(), end};
    return unit.empty() ? shown : shown + " " + std::string{unit};
}

std::string typed(double value, std::string_view unit) {
    return unit.empty() ? plainNumber(value) : plainNumber(value) + " " + std::string{unit};
}

}  // namespace aftercurve
