#include <cmath>
#include <string>

#include "core/base/number_text.h"
#include "core/planning/power.h"

namespace aftercurve {

namespace {

class Faults {
  public:
    void add(const std::string& what, const std::string& remedy) {
        Problem problem;
        problem.what = what;
        problem.remedy = remedy;
        list_.push_back(std::move(problem));
    }

    /// A number with a sign.
    bool number(double value, const std::string& name) {
        if (!std::isfinite(value) || std::abs(value) > largestInput) {
            add(name + " " + plainNumber(value) + " cannot be used", "give a number within ±1e300");
            return false;
        }
        return true;
    }

    /// A number above 0.
    bool above0(double value, const std::string& name) {
        if (!number(value, name)) {
            return false;
        }
        if (!(value >= 1.0 / largestInput)) {
            add(name + " is " + plainNumber(value), "give a number above 0");
            return false;
        }
        return true;
    }

    void level(double alpha) {
        if (!(alpha >= leastAlpha && alpha <= mostAlpha)) {
            add("level " + plainNumber(alpha) + " cannot be used",
                "give a level from " + plainNumber(leastAlpha) + " to " + plainNumber(mostAlpha));
        }
    }

    void spread(const Spread& spread, bool mayBeCv) {
        if (spread.kind != SpreadKind::cvWithin) {
            above0(spread.value, "SD");
            return;
        }
        if (!mayBeCv) {
            add("a CV cannot be used for a difference in the unit of the measure",
                "give an SD in that unit, or ask for a ratio");
        } else if (!(spread.value >= 1e-6 && spread.value <= 1e4)) {
            add("CV " + plainNumber(spread.value) + " % cannot be used", "give a CV from 1e-6 to 10000 %");
        }
    }

    void chance(const std::optional<double>& assurance) {
        if (assurance && !(*assurance > 0.0 && *assurance < 1.0)) {
            add("assurance " + plainNumber(*assurance) + " cannot be used",
                "give a probability between 0 and 1");
        }
    }

    /// The limits and the true value, all above 0 on the ratio scale.
    bool onScale(PlanningScale scale, double value, const std::string& name) {
        return scale == PlanningScale::ratio ? above0(value, name) : number(value, name);
    }

    std::vector<Problem> take() { return std::move(list_); }

  private:
    std::vector<Problem> list_;
};

void check(const DifferenceQuestion& question, Faults& faults) {
    if (faults.number(question.difference, "difference") && question.difference == 0.0) {
        faults.add("the difference to be found is 0", "give the smallest difference that matters");
    }
    faults.spread(question.spread, false);
    faults.level(question.alpha);
    if (question.comparisons < 1 || question.comparisons > mostFoods * (mostFoods - 1) / 2) {
        faults.add(std::to_string(question.comparisons) + " comparisons cannot be used",
                   "give 1 to 4950 pairs of foods that share the level");
    }
}

void check(const FoodsQuestion& question, Faults& faults) {
    if (question.means.size() < 2 || question.means.size() > mostFoods) {
        faults.add(std::to_string(question.means.size()) + " foods cannot be compared",
                   "give the means of 2 to 100 foods");
        return;
    }
    bool usable = true;
    bool equal = true;
    for (const double mean : question.means) {
        usable = faults.number(mean, "mean") && usable;
        equal = equal && mean == question.means.front();
    }
    if (usable && equal) {
        faults.add("all means are equal", "give means that differ by what is to be found");
    }
    faults.above0(question.sdWithin, "SD");
    faults.level(question.alpha);
}

void check(const EquivalenceQuestion& question, Faults& faults) {
    const bool low = faults.onScale(question.scale, question.low, "lower limit");
    const bool high = faults.onScale(question.scale, question.high, "upper limit");
    const bool expected = faults.onScale(question.scale, question.expected, "true value");
    if (low && high && !(question.low < question.high)) {
        faults.add("the lower limit " + plainNumber(question.low) + " is not below the upper one " +
                       plainNumber(question.high),
                   "give the limits in order");
    } else if (low && high && expected &&
               !(question.low < question.expected && question.expected < question.high)) {
        faults.add("the true value " + plainNumber(question.expected) + " is not between the limits",
                   "equivalence can only be shown for a true value between them");
    }
    faults.spread(question.spread, question.scale == PlanningScale::ratio);
    faults.level(question.alpha);
}

void check(const NonInferiorityQuestion& question, Faults& faults) {
    const bool limit = faults.onScale(question.scale, question.limit, "limit");
    const bool expected = faults.onScale(question.scale, question.expected, "true value");
    const bool right =
        question.lowerIsBetter ? question.expected < question.limit : question.expected > question.limit;
    if (limit && expected && !right) {
        faults.add("the true value " + plainNumber(question.expected) +
                       " is not on the good side of the limit " + plainNumber(question.limit),
                   question.lowerIsBetter ? "lower values are better: give a limit above the true value"
                                          : "higher values are better: give a limit below the true value");
    }
    faults.spread(question.spread, question.scale == PlanningScale::ratio);
    faults.level(question.alpha);
}

void check(const IntervalQuestion& question, Faults& faults) {
    faults.above0(question.halfWidth, "half-width");
    faults.spread(question.spread, false);
    faults.level(question.alpha);
    faults.chance(question.assurance);
}

void check(const IndexQuestion& question, Faults& faults) {
    faults.above0(question.halfWidth, "half-width");
    faults.above0(question.sd, "SD");
    faults.level(question.alpha);
    faults.chance(question.assurance);
}

}  // namespace

std::vector<Problem> validate(const PlanningQuestion& question) {
    Faults faults;
    std::visit([&](const auto& one) { check(one, faults); }, question);
    return faults.take();
}

std::vector<Problem> validate(const SizeRequest& request) {
    Faults faults;
    if (!(request.power > 0.0 && request.power < 1.0)) {
        faults.add("power " + plainNumber(request.power) + " cannot be reached",
                   "give a power between the level and 1");
    }
    if (!(request.dropout >= 0.0 && request.dropout <= 0.99)) {
        faults.add("dropout " + plainNumber(request.dropout) + " cannot be used",
                   "give a share from 0 to 0.99");
    }
    if (request.multipleOf < 1 || request.multipleOf > 10'000) {
        faults.add("a block of " + std::to_string(request.multipleOf) + " subjects cannot be used",
                   "give 1 to 10000");
    }
    return faults.take();
}

}  // namespace aftercurve
