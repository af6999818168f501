#pragma once

#include <algorithm>
#include <string>
#include <string_view>
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

/// Under which id of `foodsAndSamples` foodLook finds the look of a sample: that of its food, where it is the
/// food's first sample.
inline std::string lookIdOf(const Study& study, std::string_view sampleId) {
    for (const AssaySample& sample : study.assays.samples) {
        if (sample.id != sampleId) {
            continue;
        }
        const bool first =
            std::none_of(study.assays.samples.data(), &sample,
                         [&sample](const AssaySample& earlier) { return earlier.food == sample.food; });
        if (first && findFood(study, sample.food)) {
            return sample.food;
        }
    }
    return "sample:" + std::string{sampleId};
}

/// The foods of the study, so that a food looks the same in every figure, and after them the samples that
/// cannot take the look of a food.
inline Study foodsAndSamples(const Study& study) {
    Study all;
    all.foods = study.foods;
    for (const AssaySample& sample : study.assays.samples) {
        Food food;
        food.id = lookIdOf(study, sample.id);
        food.label = sample.label;
        food.role = FoodRole::test;
        if (!findFood(study, food.id)) {
            all.foods.push_back(std::move(food));
        }
    }
    return all;
}

}  // namespace aftercurve
