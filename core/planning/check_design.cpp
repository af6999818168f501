#include "core/planning/check_design.h"

#include <algorithm>
#include <map>
#include <set>

#include "core/files/excerpt.h"

namespace aftercurve {

namespace {

struct Range {
    std::size_t least = 0;
    std::size_t most = 0;

    std::size_t width() const { return most - least; }
};

/// Smallest and largest count; of `follows` without the diagonal.
Range rangeOf(const std::vector<std::vector<std::size_t>>& counts, bool withDiagonal) {
    Range range;
    bool first = true;
    for (std::size_t i = 0; i < counts.size(); ++i) {
        for (std::size_t j = 0; j < counts[i].size(); ++j) {
            if (!withDiagonal && i == j) {
                continue;
            }
            range.least = first ? counts[i][j] : std::min(range.least, counts[i][j]);
            range.most = first ? counts[i][j] : std::max(range.most, counts[i][j]);
            first = false;
        }
    }
    return range;
}

std::size_t sumOf(const std::vector<std::vector<std::size_t>>& counts, bool withDiagonal) {
    std::size_t sum = 0;
    for (std::size_t i = 0; i < counts.size(); ++i) {
        for (std::size_t j = 0; j < counts[i].size(); ++j) {
            sum += !withDiagonal && i == j ? 0 : counts[i][j];
        }
    }
    return sum;
}

class Checking {
  public:
    explicit Checking(const GivenSchedule& schedule) : schedule_(schedule) {
        check_.foods = schedule.foods;
        check_.periods = schedule.periods;
    }

    DesignCheck run() {
        std::set<std::string> names;
        for (const GivenSubject& subject : schedule_.subjects) {
            names.insert(subject.stratum);
        }
        checkSubjects();
        check_.all = counted(nullptr);
        judge(check_.all);
        if (names.size() > 1) {
            for (const std::string& name : names) {
                check_.strata.push_back(counted(&name));
                judge(check_.strata.back());
            }
        }
        return std::move(check_);
    }

  private:
    void say(Severity severity, std::string what, const std::string& subject = {}) {
        Problem problem;
        problem.severity = severity;
        problem.what = std::move(what);
        problem.subject = subject;
        check_.findings.push_back(std::move(problem));
    }

    std::string food(std::size_t index) const { return quote(schedule_.foods[index]); }

    void checkSubjects() {
        std::size_t lacking = 0;
        std::size_t repeating = 0;
        std::string firstLacking;
        std::string firstRepeating;
        for (const GivenSubject& subject : schedule_.subjects) {
            std::vector<std::size_t> times(schedule_.foods.size(), 0);
            for (const auto& at : subject.foods) {
                if (at) {
                    ++times[*at];
                }
            }
            if (std::count(times.begin(), times.end(), std::size_t{0}) > 0) {
                ++lacking;
                firstLacking = firstLacking.empty() ? subject.subject : firstLacking;
            }
            if (std::any_of(times.begin(), times.end(), [](std::size_t n) { return n > 1; })) {
                ++repeating;
                firstRepeating = firstRepeating.empty() ? subject.subject : firstRepeating;
            }
        }
        if (lacking > 0) {
            say(Severity::note,
                std::to_string(lacking) + (lacking == 1 ? " subject does" : " subjects do") +
                    " not eat every food, the first is " + quote(firstLacking),
                firstLacking);
        }
        if (repeating > 0) {
            say(Severity::note,
                std::to_string(repeating) + (repeating == 1 ? " subject eats" : " subjects eat") +
                    " a food more than once, the first is " + quote(firstRepeating),
                firstRepeating);
        }
    }

    DesignCounts counted(const std::string* stratum) const {
        const std::size_t foods = schedule_.foods.size();
        DesignCounts counts;
        counts.stratum = stratum != nullptr ? *stratum : std::string{};
        counts.foodInPeriod.assign(foods, std::vector<std::size_t>(schedule_.periods, 0));
        counts.follows.assign(foods, std::vector<std::size_t>(foods, 0));
        std::map<std::string, std::size_t> sequences;
        for (const GivenSubject& subject : schedule_.subjects) {
            if (stratum != nullptr && subject.stratum != *stratum) {
                continue;
            }
            ++counts.subjects;
            std::string words;
            for (std::size_t period = 0; period < subject.foods.size(); ++period) {
                const auto at = subject.foods[period];
                words += (period == 0 ? "" : " ") + (at ? printable(schedule_.foods[*at]) : "–");
                if (!at) {
                    continue;
                }
                ++counts.foodInPeriod[*at][period];
                if (period > 0 && subject.foods[period - 1]) {
                    ++counts.follows[*at][*subject.foods[period - 1]];
                }
            }
            ++sequences[words];
        }
        for (const auto& [words, subjects] : sequences) {
            counts.sequences.push_back({words, subjects});
        }
        return counts;
    }

    void judge(DesignCounts& counts) {
        const std::string in = counts.stratum.empty() ? "" : "stratum " + quote(counts.stratum) + ": ";
        const auto severity = [](const Range& range, std::size_t sum, std::size_t cells) {
            return range.width() == 1 && sum % cells != 0 ? Severity::note : Severity::warning;
        };
        const std::size_t foods = schedule_.foods.size();

        const Range periods = rangeOf(counts.foodInPeriod, true);
        counts.periodsBalanced = periods.width() == 0;
        if (!counts.periodsBalanced) {
            const auto [i, j] = placeOf(counts.foodInPeriod, periods.most, true);
            const auto [k, l] = placeOf(counts.foodInPeriod, periods.least, true);
            say(severity(periods, sumOf(counts.foodInPeriod, true), foods * schedule_.periods),
                in + "foods and periods are not balanced: food " + food(i) + " stands " +
                    std::to_string(periods.most) + " times in period " + std::to_string(j + 1) + ", food " +
                    food(k) + " " + std::to_string(periods.least) + " times in period " +
                    std::to_string(l + 1));
        }
        const Range pairs = rangeOf(counts.follows, false);
        counts.carryOverBalanced = foods > 1 && pairs.width() == 0 && pairs.most > 0;
        if (foods > 1 && !counts.carryOverBalanced) {
            const auto [i, j] = placeOf(counts.follows, pairs.most, false);
            const auto [k, l] = placeOf(counts.follows, pairs.least, false);
            say(severity(pairs, sumOf(counts.follows, false), foods * (foods - 1)),
                pairs.most == 0 ? in + "no food follows another, so carry-over cannot be told"
                                : in + "carry-over is not balanced: food " + food(i) + " follows " + food(j) +
                                      " " + std::to_string(pairs.most) + " times, food " + food(k) +
                                      " follows " + food(l) + " " + std::to_string(pairs.least) + " times");
        }
        const auto [least, most] =
            std::minmax_element(counts.sequences.begin(), counts.sequences.end(),
                                [](const auto& a, const auto& b) { return a.subjects < b.subjects; });
        counts.sequencesBalanced = counts.sequences.empty() || least->subjects == most->subjects;
        if (!counts.sequencesBalanced) {
            say(severity({least->subjects, most->subjects}, counts.subjects, counts.sequences.size()),
                in + "the orders do not stand equally often: '" + most->sequence + "' " +
                    std::to_string(most->subjects) + " times, '" + least->sequence + "' " +
                    std::to_string(least->subjects) + " times");
        }
    }

    static std::pair<std::size_t, std::size_t> placeOf(const std::vector<std::vector<std::size_t>>& counts,
                                                       std::size_t value, bool withDiagonal) {
        for (std::size_t i = 0; i < counts.size(); ++i) {
            for (std::size_t j = 0; j < counts[i].size(); ++j) {
                if (counts[i][j] == value && (withDiagonal || i != j)) {
                    return {i, j};
                }
            }
        }
        return {0, 0};
    }

    const GivenSchedule& schedule_;
    DesignCheck check_;
};

void addLine(std::string& text, const std::string& name, const std::vector<std::string>& cells) {
    text += "  " + name;
    for (const std::string& cell : cells) {
        text += '\t' + cell;
    }
    text += '\n';
}

void addCounts(std::string& text, const DesignCheck& check, const DesignCounts& counts) {
    const auto yes = [](bool balanced) { return balanced ? "balanced" : "not balanced"; };
    text += (counts.stratum.empty() ? "All subjects" : "Stratum " + printable(counts.stratum)) + ": " +
            std::to_string(counts.subjects) + " subjects; foods over periods " + yes(counts.periodsBalanced) +
            ", carry-over " + yes(counts.carryOverBalanced) + ", orders " + yes(counts.sequencesBalanced) +
            "\n";
    std::vector<std::string> heads;
    for (std::size_t period = 1; period <= check.periods; ++period) {
        heads.push_back("period " + std::to_string(period));
    }
    addLine(text, "food", heads);
    const auto numbers = [](const std::vector<std::size_t>& row) {
        std::vector<std::string> cells;
        for (const std::size_t n : row) {
            cells.push_back(std::to_string(n));
        }
        return cells;
    };
    for (std::size_t food = 0; food < check.foods.size(); ++food) {
        addLine(text, printable(check.foods[food]), numbers(counts.foodInPeriod[food]));
    }
    heads.clear();
    for (const std::string& food : check.foods) {
        heads.push_back("after " + printable(food));
    }
    addLine(text, "food", heads);
    for (std::size_t food = 0; food < check.foods.size(); ++food) {
        addLine(text, printable(check.foods[food]), numbers(counts.follows[food]));
    }
    constexpr std::size_t ordersListed = 24;
    addLine(text, "order", {"subjects"});
    for (std::size_t i = 0; i < std::min(ordersListed, counts.sequences.size()); ++i) {
        addLine(text, counts.sequences[i].sequence, {std::to_string(counts.sequences[i].subjects)});
    }
    if (counts.sequences.size() > ordersListed) {
        text += "  and " + std::to_string(counts.sequences.size() - ordersListed) + " more orders\n";
    }
}

}  // namespace

DesignCheck checkDesign(const GivenSchedule& schedule) {
    return Checking(schedule).run();
}

std::string textOf(const DesignCheck& check) {
    std::string text;
    addCounts(text, check, check.all);
    for (const DesignCounts& counts : check.strata) {
        addCounts(text, check, counts);
    }
    return text;
}

}  // namespace aftercurve
