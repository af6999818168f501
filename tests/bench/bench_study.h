#pragma once

#include <cmath>
#include <random>
#include <string>

#include "core/study/study.h"

namespace aftercurve::bench {

/// An invented, seeded study: glucose and insulin, 9 draws a curve, one visit a food.
inline Study studyOf(int subjects, int foods) {
    Study study;
    study.sampleFiles = {"samples.csv"};
    study.analytes = {{"glucose", "mmol/L", ""}, {"insulin", "pmol/L", ""}};
    study.concentrations.resize(2);
    for (int f = 0; f < foods; ++f) {
        study.foods.push_back({"food-" + std::to_string(f), "Food " + std::to_string(f),
                               f == 0 ? FoodRole::reference : FoodRole::test, 50.0, 200.0});
    }
    std::mt19937_64 random{5};
    std::normal_distribution<double> noise{0.0, 0.3};
    for (int s = 0; s < subjects; ++s) {
        study.subjects.push_back({"s" + std::to_string(s), "", "", {}, {}});
        for (int f = 0; f < foods; ++f) {
            for (const double t : {-5.0, 0.0, 15.0, 30.0, 45.0, 60.0, 90.0, 120.0, 150.0}) {
                Draw draw;
                draw.subject = static_cast<std::uint32_t>(s);
                draw.food = static_cast<std::uint32_t>(f);
                draw.timeMin = t;
                draw.row = static_cast<std::uint32_t>(study.draws.size() + 2);
                study.draws.push_back(draw);
                const double shape = t > 0 ? t / 40.0 * std::exp(1.0 - t / 40.0) : 0.0;
                study.concentrations[0].emplace_back(5.0 + (3.5 - 0.4 * f) * shape + noise(random));
                study.concentrations[1].emplace_back(40.0 + (250 - 30 * f) * shape +
                                                     10 * std::abs(noise(random)));
            }
        }
    }
    return study;
}

}  // namespace aftercurve::bench
