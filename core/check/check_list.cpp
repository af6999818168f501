#include <algorithm>
#include <array>

#include "core/check/checks.h"

namespace aftercurve {

std::span<const Check> checkList() {
    static const std::array list{
        checks::missingBaseline(),     checks::fastingSpread(),   checks::fastingRange(),
        checks::timeTolerance(),       checks::nominalMissing(),  checks::duplicateCv(),
        checks::implausibleJump(),     checks::decimalSlip(),     checks::frozenValues(),
        checks::unitMixUp(),           checks::columnsReversed(), checks::visitOrder(),
        checks::periodDates(),         checks::washout(),         checks::referenceRepeats(),
        checks::visitWithoutSamples(), checks::foodMissing(),     checks::oddSubject(),
        checks::copiedValues(),        checks::copiedCurve(),     checks::belowLimit(),
        checks::laboratoryRemarks(),
    };
    return list;
}

bool isCheckKey(std::string_view key) {
    const auto list = checkList();
    constexpr std::array others{"clinician-range", "index-standard", "match", "composition"};
    return std::find(others.begin(), others.end(), key) != others.end() ||
           std::any_of(list.begin(), list.end(), [key](const Check& check) { return check.key == key; });
}

CheckRun runChecks(const Study& study, const Plan& plan, const Progress& progress) {
    const CheckInput input = makeCheckInput(study, plan);
    const auto list = checkList();
    CheckRun run;
    for (std::size_t c = 0; c < list.size(); ++c) {
        if (progress && !progress(static_cast<double>(c) / static_cast<double>(list.size()), "checks")) {
            run.stopped = true;
            return run;
        }
        std::vector<Problem> found = list[c].run(input);
        run.problems.insert(run.problems.end(), std::make_move_iterator(found.begin()),
                            std::make_move_iterator(found.end()));
    }
    return run;
}

std::vector<Problem> runChecks(const Study& study, const Plan& plan) {
    return runChecks(study, plan, {}).problems;
}

}  // namespace aftercurve
