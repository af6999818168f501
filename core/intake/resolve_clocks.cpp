#include <cmath>

#include "core/base/number_text.h"
#include "core/files/excerpt.h"
#include "core/intake/merge_draws.h"
#include "core/intake/time_text.h"

namespace aftercurve {

namespace {

constexpr double minutesPerDay = 1440.0;
constexpr double farFromMeal = 360.0;

VisitKey keyOf(const Draw& draw) {
    return {draw.subject, draw.food, draw.visit};
}

Problem at(const Gathered& gathered, std::span<const std::string> tables, const Mapping& mapping,
           const Draw& draw, std::string what, std::string remedy) {
    Problem problem = problemAt(tables[draw.file], draw.row, "", std::move(what), std::move(remedy));
    problem.subject = gathered.subjects[draw.subject].id;
    problem.food = mapping.foods[draw.food].id;
    problem.visit = draw.visit;
    return problem;
}

/// Starts of meals from rows with nominal time 0, for visits without a meal-start cell.
std::map<VisitKey, double> startsFromRows(const Gathered& gathered, std::span<const std::string> tables,
                                          const Mapping& mapping, ProblemList& problems, Watch& watch) {
    std::map<VisitKey, double> starts;
    for (std::size_t i = 0; i < gathered.draws.size() && gathered.withNominal && watch.goesOn(i); ++i) {
        const Draw& draw = gathered.draws[i];
        if (!gathered.clock[i] || gathered.nominal[i] != 0.0) {
            continue;
        }
        const auto [found, isNew] = starts.emplace(keyOf(draw), *gathered.clock[i]);
        if (!isNew && found->second != *gathered.clock[i]) {
            problems.add(Weight::fatal,
                         at(gathered, tables, mapping, draw,
                            "the visit has two rows with nominal time 0, at " + clockText(found->second) +
                                " and " + clockText(*gathered.clock[i]),
                            "map a meal-start column, or tell the visits apart by a visit column"));
        }
    }
    return starts;
}

/// Start of the meal of a visit, by its meal-start cell, else by its row with nominal time 0.
std::optional<double> startOf(const VisitKey& key, const Gathered& gathered,
                              const std::map<VisitKey, double>& starts) {
    const auto visit = gathered.visits.find(key);
    if (visit != gathered.visits.end() && visit->second.mealStart) {
        return visit->second.mealStart;
    }
    const auto found = starts.find(key);
    return found == starts.end() ? std::nullopt : std::optional{found->second};
}

}  // namespace

bool resolveClocks(Gathered& gathered, std::span<const std::string> tables, const Mapping& mapping,
                   ProblemList& problems, const GoOn& goOn) {
    if (!gathered.withClock) {
        return true;
    }
    Watch watch{goOn};
    const auto starts = startsFromRows(gathered, tables, mapping, problems, watch);
    std::optional<VisitKey> last;  // rows of one visit mostly follow each other
    std::optional<double> mealStart;
    std::map<VisitKey, bool> told;
    Tally far;
    for (std::size_t i = 0; i < gathered.draws.size(); ++i) {
        if (!watch.goesOn(i)) {
            return false;
        }
        if (!gathered.clock[i]) {
            continue;
        }
        Draw& draw = gathered.draws[i];
        const VisitKey key = keyOf(draw);
        if (last != key) {
            last = key;
            mealStart = startOf(key, gathered, starts);
        }
        if (!mealStart) {
            if (told.emplace(key, true).second) {
                problems.add(Weight::fatal,
                             at(gathered, tables, mapping, draw,
                                "the visit has times of day, but no start of the meal",
                                "enter it in the meal-start column, or in a row with nominal time 0"));
            }
            continue;
        }
        const double apart = *gathered.clock[i] - *mealStart;
        const auto planned = gathered.withNominal ? gathered.nominal[i] : std::nullopt;
        const double days = std::round((planned.value_or(0.0) - apart) / minutesPerDay);
        // To the second, as times of day are; the difference of two is not exact in binary otherwise.
        draw.timeMin = std::round((apart + minutesPerDay * days) * 60.0) / 60.0;
        if (!planned && std::abs(draw.timeMin) > farFromMeal) {
            far.add(draw.row);
        }
    }
    for (const auto& [key, start] : starts) {
        VisitFacts& facts = gathered.visits[key];
        if (!facts.mealStart) {
            facts.mealStart = start;
            gathered.keepVisits = true;
        }
    }
    if (far.count > 0) {
        problems.add(
            Weight::warning,
            problemAt("", 0, "", "more than 6 h from the start of the meal: " + wordsFor(far, "draw"),
                      "check the times of day and the start of the meal"));
    }
    return true;
}

}  // namespace aftercurve
