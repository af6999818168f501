#include "core/planning/power.h"

#include <algorithm>
#include <cmath>
#include <functional>

#include "core/base/number_text.h"
#include "core/compare/distributions.h"
#include "core/planning/noncentral.h"

namespace aftercurve {

namespace {

using Value = std::optional<double>;

Value powerOf(const DifferenceQuestion& question, std::size_t n) {
    const ErrorOfDifference error = errorOfDifference(question.design, n);
    const double tail = question.alpha / (2.0 * static_cast<double>(question.comparisons));
    const Value t = studentTUpperQuantile(tail, error.df);
    if (!t) {
        return {};
    }
    const double delta = std::abs(question.difference) / (sdOfDifference(question.spread) * error.se);
    const Value right = noncentralTUpperTail(*t, error.df, delta);
    const Value wrong = noncentralTUpperTail(*t, error.df, -delta);
    return right && wrong ? Value{std::min(1.0, *right + *wrong)} : Value{};
}

Value powerOf(const FoodsQuestion& question, std::size_t n) {
    const auto k = static_cast<double>(question.means.size());
    const auto subjects = static_cast<double>(n);
    double mean = 0.0;
    for (const double one : question.means) {
        mean += one / k;
    }
    double sum = 0.0;
    for (const double one : question.means) {
        const double away = (one - mean) / question.sdWithin;
        sum += away * away;
    }
    const double df1 = k - 1.0;
    const double df2 = df1 * (question.periodInModel ? subjects - 2.0 : subjects - 1.0);
    const Value f = fUpperQuantile(question.alpha, df1, df2);
    return f ? noncentralFUpperTail(*f, df1, df2, subjects * sum) : Value{};
}

double onScale(PlanningScale scale, double value) {
    return scale == PlanningScale::ratio ? std::log(value) : value;
}

Value powerOf(const EquivalenceQuestion& question, std::size_t n) {
    const ErrorOfDifference error = errorOfDifference(question.design, n);
    const Value t = studentTUpperQuantile(question.alpha, error.df);
    if (!t) {
        return {};
    }
    const double scale = sdOfDifference(question.spread) * error.se;
    const double expected = onScale(question.scale, question.expected);
    const double above = (onScale(question.scale, question.high) - expected) / scale;
    const double below = (expected - onScale(question.scale, question.low)) / scale;
    const double end = (above + below) / (2.0 * *t);
    std::vector<double> cuts;
    for (const double middle : {above / *t, below / *t}) {
        for (const double away : {-8.0, -4.0, -2.0, 0.0, 2.0, 4.0, 8.0}) {
            cuts.push_back(middle + away / *t);
        }
    }
    const double power = meanOverSampleSd(error.df, end, cuts, [&](double s) {
        // Φ(above − ts) − Φ(−below + ts), from the side where nothing cancels.
        return std::max(0.0, 1.0 - normalLowerTail(*t * s - above) - normalLowerTail(*t * s - below));
    });
    return std::isfinite(power) ? Value{std::clamp(power, 0.0, 1.0)} : Value{};
}

Value powerOf(const NonInferiorityQuestion& question, std::size_t n) {
    const ErrorOfDifference error = errorOfDifference(question.design, n);
    const Value t = studentTUpperQuantile(question.alpha, error.df);
    const double away =
        std::abs(onScale(question.scale, question.expected) - onScale(question.scale, question.limit));
    return t ? noncentralTUpperTail(*t, error.df, away / (sdOfDifference(question.spread) * error.se))
             : Value{};
}

Value precision(double halfWidth, double sd, const ErrorOfDifference& error, double alpha,
                const std::optional<double>& assurance) {
    const Value t = studentTUpperQuantile(0.5 * alpha, error.df);
    if (!t) {
        return {};
    }
    const double reached = *t * error.se * sd;
    if (!assurance) {
        return std::isfinite(reached) ? Value{reached} : Value{};
    }
    const double ratio = halfWidth / reached;
    return chiSquareLowerTail(error.df * ratio * ratio, error.df);
}

Value powerOf(const IntervalQuestion& question, std::size_t n) {
    return precision(question.halfWidth, sdOfDifference(question.spread),
                     errorOfDifference(question.design, n), question.alpha, question.assurance);
}

Value powerOf(const IndexQuestion& question, std::size_t n) {
    return precision(question.halfWidth, question.sd, errorOfDifference(TwoFoodDesign::paired, n),
                     question.alpha, question.assurance);
}

template <class Answer>
Answer absentAnswer(const Problem& problem) {
    Answer answer;
    answer.absentBecause = problem.remedy.empty() ? problem.what : problem.what + "; " + problem.remedy;
    return answer;
}

/// Whether `value` is good enough.
bool reaches(bool halfWidth, double value, double target) {
    return halfWidth ? value <= target : value >= target;
}

std::optional<double> halfWidthOf(const PlanningQuestion& question) {
    if (const auto* interval = std::get_if<IntervalQuestion>(&question)) {
        return interval->halfWidth;
    }
    const auto* index = std::get_if<IndexQuestion>(&question);
    return index != nullptr ? Value{index->halfWidth} : Value{};
}

Value assuranceOf(const PlanningQuestion& question) {
    if (const auto* interval = std::get_if<IntervalQuestion>(&question)) {
        return interval->assurance;
    }
    const auto* index = std::get_if<IndexQuestion>(&question);
    return index != nullptr ? index->assurance : Value{};
}

}  // namespace

double targetOf(const PlanningQuestion& question, double power) {
    const Value assurance = assuranceOf(question);
    return asksHalfWidth(question) ? *halfWidthOf(question) : assurance.value_or(power);
}

double levelOf(const PlanningQuestion& question) {
    return std::visit([](const auto& one) { return one.alpha; }, question);
}

std::vector<double> leastFavourableMeans(std::size_t k, double range) {
    std::vector<double> means(k, 0.0);
    if (k >= 2) {
        means.front() = -0.5 * range;
        means.back() = 0.5 * range;
    }
    return means;
}

double sdOfIndex(double cvPercent, double mean) {
    return cvPercent / 100.0 * mean;
}

bool asksHalfWidth(const PlanningQuestion& question) {
    return halfWidthOf(question) && !assuranceOf(question);
}

std::size_t leastSubjects(const PlanningQuestion& question) {
    struct {
        std::size_t operator()(const DifferenceQuestion& one) const { return leastSubjects(one.design); }
        std::size_t operator()(const FoodsQuestion& one) const { return one.periodInModel ? 3U : 2U; }
        std::size_t operator()(const EquivalenceQuestion& one) const { return leastSubjects(one.design); }
        std::size_t operator()(const NonInferiorityQuestion& one) const { return leastSubjects(one.design); }
        std::size_t operator()(const IntervalQuestion& one) const { return leastSubjects(one.design); }
        std::size_t operator()(const IndexQuestion&) const { return 2U; }
    } least;
    return std::visit(least, question);
}

PowerAnswer powerWith(const PlanningQuestion& question, std::size_t n) {
    if (const auto problems = validate(question); !problems.empty()) {
        return absentAnswer<PowerAnswer>(problems.front());
    }
    PowerAnswer answer;
    if (n < leastSubjects(question)) {
        answer.absentBecause = "the test needs at least " + std::to_string(leastSubjects(question)) +
                               " subjects, not " + std::to_string(n);
    } else if (n > mostSubjects) {
        answer.absentBecause = std::to_string(n) + " subjects are more than the " +
                               std::to_string(mostSubjects) + " that are looked at";
    } else {
        answer.value = std::visit([n](const auto& one) { return powerOf(one, n); }, question);
        if (!answer.value) {
            answer.absentBecause = "the distribution gives no number here";
        }
    }
    return answer;
}

SizeAnswer subjectsFor(const PlanningQuestion& question, const SizeRequest& request) {
    auto problems = validate(question);
    if (problems.empty()) {
        problems = validate(request);
    }
    if (!problems.empty()) {
        return absentAnswer<SizeAnswer>(problems.front());
    }
    SizeAnswer answer;
    if (!halfWidthOf(question) && request.power <= levelOf(question)) {
        answer.absentBecause = "power " + plainNumber(request.power) + " is not above the level " +
                               plainNumber(levelOf(question));
        return answer;
    }
    const bool halfWidth = asksHalfWidth(question);
    const double target = targetOf(question, request.power);
    const auto enough = [&](std::size_t n) -> std::optional<bool> {
        const PowerAnswer power = powerWith(question, n);
        if (!power.value) {
            answer.absentBecause = power.absentBecause;
            return std::nullopt;
        }
        return reaches(halfWidth, *power.value, target);
    };
    // Doubling, then halving between a number that is too small and one that is enough.
    std::size_t tooFew = leastSubjects(question) - 1;
    std::size_t n = tooFew + 1;
    for (;;) {
        const auto is = enough(n);
        if (!is) {
            return answer;
        }
        if (*is) {
            break;
        }
        if (n >= mostSubjects) {
            answer.absentBecause = "more than " + std::to_string(mostSubjects) + " subjects would be needed";
            return answer;
        }
        tooFew = n;
        n = std::min(2 * n, mostSubjects);
    }
    while (n - tooFew > 1) {
        const std::size_t middle = tooFew + (n - tooFew) / 2;
        const auto is = enough(middle);
        if (!is) {
            return answer;
        }
        (*is ? n : tooFew) = middle;
    }
    answer.n = n;
    answer.power = powerWith(question, n).value;
    // 8/(1 − 0.2) is 10, whatever the last bit says.
    auto enrolled =
        static_cast<std::size_t>(std::ceil(static_cast<double>(n) / (1.0 - request.dropout) * (1.0 - 1e-12)));
    enrolled = std::max(enrolled, n);
    answer.enrolled = (enrolled + request.multipleOf - 1) / request.multipleOf * request.multipleOf;
    return answer;
}

PowerCurve powerCurve(const PlanningQuestion& question, const SizeRequest& request, const std::string& unit) {
    constexpr std::size_t mostPoints = 120;
    PowerCurve curve;
    const SizeAnswer answer = subjectsFor(question, request);
    const std::size_t first = leastSubjects(question);
    curve.n = answer.n;
    curve.halfWidth = asksHalfWidth(question);
    curve.assurance = assuranceOf(question).has_value();
    curve.target = targetOf(question, request.power);
    curve.unit = unit;
    const std::size_t last =
        std::min(mostSubjects, answer.n ? std::max<std::size_t>(2 * *answer.n, 10) : 100);
    const std::size_t step = std::max<std::size_t>(1, (last - first) / mostPoints + 1);
    std::vector<std::size_t> numbers;
    for (std::size_t n = first; n <= last; n += step) {
        numbers.push_back(n);
    }
    if (answer.n) {
        numbers.push_back(*answer.n);
        std::sort(numbers.begin(), numbers.end());
        numbers.erase(std::unique(numbers.begin(), numbers.end()), numbers.end());
    }
    for (const std::size_t n : numbers) {
        const PowerAnswer power = powerWith(question, n);
        if (!power.value) {
            curve.points.clear();
            curve.absentBecause = power.absentBecause;
            return curve;
        }
        curve.points.push_back({n, *power.value});
    }
    return curve;
}

}  // namespace aftercurve
