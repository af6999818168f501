#include <algorithm>
#include <boost/math/policies/policy.hpp>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>
#include <functional>

#include "core/base/number_text.h"
#include "core/planning/power.h"

namespace aftercurve {

namespace {

namespace policies = boost::math::policies;
using Quiet = policies::policy<policies::domain_error<policies::ignore_error>,
                               policies::evaluation_error<policies::ignore_error>>;

/// Standardised effects that are looked at, in natural logarithms of SDs of differences.
const double smallestEffect = std::log(1e-12);
const double largestEffect = std::log(1e15);

/// An SD that cannot be used stays what it is in the question; the trial effect must not take its fault over.
double usable(double sd) {
    return std::isfinite(sd) && sd > 0.0 ? sd : 1.0;
}

/// One question with an effect of e SDs put into it, and the answer that this effect means.
struct Scaled {
    std::function<PlanningQuestion(double e)> question;
    std::function<double(double e)> answer;
};

Scaled scaled(const DifferenceQuestion& question) {
    const double sd = usable(sdOfDifference(question.spread));
    return {[question, sd](double e) {
                DifferenceQuestion one = question;
                one.difference = e * sd;
                return PlanningQuestion{one};
            },
            [sd](double e) { return e * sd; }};
}

Scaled scaled(const FoodsQuestion& question) {
    std::vector<double> pattern = question.means;
    double range = 0.0;
    if (!pattern.empty() &&
        std::all_of(pattern.begin(), pattern.end(), [](double x) { return std::isfinite(x); })) {
        const auto [low, high] = std::minmax_element(pattern.begin(), pattern.end());
        const double lowest = *low;
        range = *high - lowest;
        for (double& mean : pattern) {
            mean = range > 0.0 ? (mean - lowest) / range : 0.0;
        }
    }
    if (range == 0.0) {
        pattern = leastFavourableMeans(question.means.size(), 1.0);
    }
    const double sd = usable(question.sdWithin);
    return {[question, pattern, sd](double e) {
                FoodsQuestion one = question;
                for (std::size_t i = 0; i < pattern.size(); ++i) {
                    one.means[i] = pattern[i] * e * sd;
                }
                return PlanningQuestion{one};
            },
            [sd](double e) { return e * sd; }};
}

Scaled scaled(const EquivalenceQuestion& question) {
    const bool ratio = question.scale == PlanningScale::ratio;
    const double sd = usable(sdOfDifference(question.spread));
    const double away = std::abs(ratio ? std::log(question.expected) : question.expected);
    const auto margin = [ratio, sd, away](double e) {
        return ratio ? std::exp(away + e * sd) : away + e * sd;
    };
    return {[question, margin, ratio](double e) {
                EquivalenceQuestion one = question;
                one.high = margin(e);
                one.low = ratio ? 1.0 / one.high : -one.high;
                return PlanningQuestion{one};
            },
            margin};
}

Scaled scaled(const NonInferiorityQuestion& question) {
    const bool ratio = question.scale == PlanningScale::ratio;
    const double sd = usable(sdOfDifference(question.spread));
    const auto margin = [ratio, sd](double e) { return ratio ? std::exp(e * sd) : e * sd; };
    return {[question, margin, ratio](double e) {
                NonInferiorityQuestion one = question;
                if (ratio) {
                    one.limit = question.lowerIsBetter ? question.expected * margin(e)
                                                       : question.expected / margin(e);
                } else {
                    one.limit = question.expected + (question.lowerIsBetter ? margin(e) : -margin(e));
                }
                return PlanningQuestion{one};
            },
            margin};
}

Scaled scaled(const IntervalQuestion& question) {
    const double sd = usable(sdOfDifference(question.spread));
    return {[question, sd](double e) {
                IntervalQuestion one = question;
                one.halfWidth = e * sd;
                return PlanningQuestion{one};
            },
            [sd](double e) { return e * sd; }};
}

Scaled scaled(const IndexQuestion& question) {
    const double sd = usable(question.sd);
    return {[question, sd](double e) {
                IndexQuestion one = question;
                one.halfWidth = e * sd;
                return PlanningQuestion{one};
            },
            [sd](double e) { return e * sd; }};
}

}  // namespace

DetectableAnswer detectableWith(const PlanningQuestion& question, std::size_t n, double power) {
    DetectableAnswer answer;
    const Scaled scale = std::visit([](const auto& one) { return scaled(one); }, question);
    const PlanningQuestion trial = scale.question(1.0);
    if (const PowerAnswer first = powerWith(trial, n); !first.value) {
        answer.absentBecause = first.absentBecause;
        return answer;
    }
    if (asksHalfWidth(trial)) {
        answer.value = powerWith(trial, n).value;
        return answer;
    }
    const double target = targetOf(trial, power);
    const bool isTest =
        !std::holds_alternative<IntervalQuestion>(trial) && !std::holds_alternative<IndexQuestion>(trial);
    if (!(target > 0.0 && target < 1.0) || (isTest && target <= levelOf(trial))) {
        answer.absentBecause =
            "power " + plainNumber(target) + " cannot be asked for: it lies between the level and 1";
        return answer;
    }
    // Where an effect is past what can be asked (1e300), its power is that of the end it is past.
    const auto excess = [&](double logEffect) {
        const PowerAnswer at = powerWith(scale.question(std::exp(logEffect)), n);
        return at.value ? *at.value - target : (logEffect > 0.0 ? 1.0 - target : -target);
    };
    double low = 0.0;
    double high = 0.0;
    while (excess(low) >= 0.0 && low > smallestEffect) {
        low -= 2.0;
    }
    while (excess(high) < 0.0 && high < largestEffect) {
        high += 2.0;
    }
    if (excess(low) >= 0.0 || excess(high) < 0.0) {
        answer.absentBecause = "no effect between 1e-12 and 1e15 SDs has this power";
        return answer;
    }
    std::uintmax_t steps = 200;
    const auto found = boost::math::tools::toms748_solve(
        excess, low, high, boost::math::tools::eps_tolerance<double>(50), steps, Quiet());
    const double value = scale.answer(std::exp(0.5 * (found.first + found.second)));
    if (!std::isfinite(value)) {
        answer.absentBecause = "the effect is too large for a number";
        return answer;
    }
    answer.value = value;
    return answer;
}

}  // namespace aftercurve
