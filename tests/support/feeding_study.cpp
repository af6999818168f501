#include "tests/support/feeding_study.h"

#include <cstdint>
#include <stdexcept>

namespace aftercurve::test {

namespace {

/// Share of the largest rise at each of `feedingTimes`.
constexpr double shape[] = {0.0, 0.0, 0.5, 1.0, 0.9, 0.6, 0.3, 0.1};

struct Meal {
    const char* food;
    int visit;
    double rise;
};
constexpr Meal meals[] = {{"bread", 1, 3.0}, {"bread", 2, 2.8}, {"oats", 1, 1.8}};

/// Between −1 and 1, scattered, the same on every machine (the mixing of SplitMix64; Steele, Lea & Flood
/// 2014, from memory).
double wobble(std::size_t a, std::size_t b, std::size_t c) {
    std::uint64_t x = (a * 1000003U + b * 10007U + c + 1U) * 0x9e3779b97f4a7c15ULL;
    x = (x ^ (x >> 30U)) * 0xbf58476d1ce4e5b9ULL;
    x = (x ^ (x >> 27U)) * 0x94d049bb133111ebULL;
    x ^= x >> 31U;
    return 2.0 * (static_cast<double>(x >> 11U) / 9007199254740992.0) - 1.0;
}

}  // namespace

FeedingStudy::FeedingStudy(std::size_t subjects) {
    study.sampleFiles = {"samples.csv"};
    study.subjectsFile = "subjects.csv";
    study.foods = {{"bread", "Bread", FoodRole::reference, 50.0, 100.0},
                   {"oats", "Oats", FoodRole::test, 50.0, 300.0}};
    study.analytes = {{"glucose", "mmol/L", ""}, {"insulin", "pmol/L", ""}};
    study.concentrations.resize(2);
    study.plan.comparator = "bread";
    for (std::size_t s = 0; s < subjects; ++s) {
        const std::string id = (s + 1 < 10 ? "0" : "") + std::to_string(s + 1);
        study.subjects.push_back({id, "", "", std::nullopt, std::nullopt});
        for (std::size_t m = 0; m < std::size(meals); ++m) {
            const double glucoseRise = meals[m].rise * (1.0 + 0.25 * wobble(s, m, 100));
            const double insulinRise = 120.0 * meals[m].rise * (1.0 + 0.25 * wobble(s, m, 200));
            for (std::size_t t = 0; t < feedingTimes.size(); ++t) {
                Draw row;
                row.subject = static_cast<std::uint32_t>(s);
                row.food = meals[m].food == std::string{"bread"} ? 0 : 1;
                row.visit = meals[m].visit;
                row.timeMin = feedingTimes[t];
                row.row = static_cast<std::uint32_t>(study.draws.size() + 2);
                study.draws.push_back(row);
                study.concentrations[0].emplace_back(4.8 + 0.3 * wobble(s, 0, 300) + glucoseRise * shape[t] +
                                                     0.1 * wobble(s, m, t));
                study.concentrations[1].emplace_back(40.0 + 8.0 * wobble(s, 0, 400) + insulinRise * shape[t] +
                                                     2.0 * wobble(s, m, t + 50));
            }
        }
    }
}

std::uint32_t FeedingStudy::draw(const std::string& subject, const std::string& food, int visit,
                                 double timeMin) const {
    for (std::uint32_t d = 0; d < study.draws.size(); ++d) {
        const Draw& row = study.draws[d];
        if (study.subjects[row.subject].id == subject && study.foods[row.food].id == food &&
            row.visit == visit && row.timeMin == timeMin) {
            return d;
        }
    }
    throw std::out_of_range("no such draw");
}

std::optional<double>& FeedingStudy::cell(const std::string& subject, const std::string& food, int visit,
                                          double timeMin, const std::string& analyte) {
    return study.concentrations[*findAnalyte(study, analyte)][draw(subject, food, visit, timeMin)];
}

void FeedingStudy::addVisits() {
    study.visitsFile = "visits.csv";
    const auto add = [this](std::size_t subject, std::uint32_t food, int visit, int period,
                            const char* date) {
        VisitRecord record;
        record.subject = static_cast<std::uint32_t>(subject);
        record.food = food;
        record.visit = visit;
        record.period = period;
        record.date = date;
        record.row = static_cast<std::uint32_t>(study.visits.size() + 2);
        study.visits.push_back(record);
    };
    for (std::size_t s = 0; s < study.subjects.size(); ++s) {
        add(s, 0, 1, 1, "2026-02-01");
        add(s, 1, 1, 2, "2026-02-11");
        add(s, 0, 2, 3, "2026-02-21");
    }
}

}  // namespace aftercurve::test
