#pragma once

#include <vector>

#include "ui/figures/figure.h"

namespace aftercurve {

/// The samples of the assays that a figure shows: those that `fits` takes, of the chosen food where one is
/// chosen.
template <class Fits>
std::vector<const DigestionSample*> digestionSamples(const Findings& findings, const FigureChoice& choice,
                                                     Fits fits) {
    std::vector<const DigestionSample*> shown;
    for (const DigestionSample& sample : findings.digestion.bySample) {
        if (fits(sample) && (choice.food.empty() || sample.food == choice.food)) {
            shown.push_back(&sample);
        }
    }
    return shown;
}

/// A study whose foods are the samples, so that foodLook tells them apart as it does foods.
inline Study samplesAsFoods(const Study& study) {
    Study asFoods;
    for (const AssaySample& sample : study.assays.samples) {
        Food food;
        food.id = sample.id;
        food.label = sample.label;
        food.role = sample.reference ? FoodRole::reference : FoodRole::test;
        asFoods.foods.push_back(std::move(food));
    }
    return asFoods;
}

}  // namespace aftercurve
