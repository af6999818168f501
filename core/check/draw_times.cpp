// Draws that were not made when they were planned.
#include <cmath>

#include "core/base/number_text.h"
#include "core/check/checks.h"
#include "core/check/found.h"

namespace aftercurve::checks {

namespace {

constexpr std::string_view toleranceKey = "time-tolerance";
constexpr std::string_view missingKey = "nominal-missing";
constexpr double slackMin = 1e-9;  ///< 15.1 − 13.1 is not exactly 2

std::vector<Problem> runTolerance(const CheckInput& input) {
    Found found{input, toleranceKey};
    if (input.study.nominalMin.empty()) {
        return {};
    }
    for (const CheckVisit& visit : input.visits) {
        if (visit.excluded) {
            continue;
        }
        for (const std::uint32_t draw : visit.draws) {
            const auto nominal = nominalMinOf(input.study, draw);
            const double actual = input.study.draws[draw].timeMin;
            if (!nominal || std::abs(actual - *nominal) <= input.plan.timeToleranceMin + slackMin) {
                continue;
            }
            found.add(Severity::warning, [&] {
                Problem p = problemAtDraw(input, draw);
                p.what += ": drawn at " + plainNumber(actual) + " min, " +
                          amount(std::abs(actual - *nominal), "min") +
                          (actual > *nominal ? " after" : " before") + " the planned " +
                          plainNumber(*nominal) + " min; the plan allows " +
                          plainNumber(input.plan.timeToleranceMin) + " min";
                p.remedy = "check both times; the plan's time_basis says which one counts";
                return p;
            });
        }
    }
    return found.take();
}

std::vector<Problem> runMissing(const CheckInput& input) {
    Found found{input, missingKey};
    if (input.study.nominalMin.empty()) {
        return {};
    }
    // Per file: a file without the column has none at all, and that is a choice.
    const std::size_t files = input.study.sampleFiles.size();
    std::vector<std::size_t> with(files, 0);
    std::vector<std::size_t> without(files, 0);
    std::vector<std::uint32_t> first(files, 0);
    for (std::uint32_t draw = 0; draw < input.study.draws.size(); ++draw) {
        const std::uint32_t file = input.study.draws[draw].file;
        if (file >= files) {
            continue;
        }
        if (input.study.nominalMin[draw]) {
            ++with[file];
        } else if (++without[file] == 1) {
            first[file] = draw;
        }
    }
    // Where nominal times count, a row without one stands at its actual time among them.
    const Severity severity = input.plan.timeBasis == TimeBasis::nominal ? Severity::warning : Severity::note;
    for (std::size_t f = 0; f < files; ++f) {
        if (with[f] == 0 || without[f] == 0) {
            continue;
        }
        found.add(severity, [&] {
            const Problem place = problemAtDraw(input, first[f]);
            Problem p;
            p.file = place.file;
            p.row = place.row;
            p.column = "nominal_min";
            p.what = std::to_string(without[f]) + " of " + std::to_string(with[f] + without[f]) +
                     " rows have no planned time (nominal_min), the first one is " + place.what +
                     "; their actual time counts";
            p.remedy = "fill in nominal_min, or leave it out of the whole file";
            return p;
        });
    }
    return found.take();
}

}  // namespace

Check timeTolerance() {
    return {toleranceKey, "Draw outside its time tolerance",
            "the plan's time_tolerance_min; 2 min unless it says otherwise: common practice, no source",
            runTolerance};
}

Check nominalMissing() {
    return {missingKey, "Planned times missing in some rows", "no limit", runMissing};
}

}  // namespace aftercurve::checks
