#pragma once

#include <cmath>
#include <string>

#include "core/study/assay_data.h"

namespace aftercurve::test {

/// Invented assays: white bread (reference) and barley flakes, two runs of three replicates, percent of total
/// starch along Cinf(1 − e^(−kt)) (90 and 0.05, 80 and 0.03 per min), each replicate off by a factor of its
/// own.
inline AssayData trialAssays() {
    AssayData assays;
    assays.file = "assays.csv";
    assays.quantity = AssayQuantity::starchPercent;
    assays.samples = {{"white", "White bread", "", true, 70.0, 1.0, 35.0, {}, {}},
                      {"flakes", "Barley flakes", "", false, 60.0, 0.5, 10.0, {}, {}}};
    for (const bool white : {true, false}) {
        for (int replicate = 1; replicate <= 6; ++replicate) {
            const double off = 1.0 + 0.01 * (replicate % 3 - 1) + (replicate > 3 ? 0.005 : 0.0);
            for (const double time : {0.0, 10.0, 20.0, 30.0, 60.0, 90.0, 120.0, 180.0}) {
                AssayReading reading;
                reading.sample = white ? "white" : "flakes";
                reading.run = replicate > 3 ? "B" : "A";
                reading.replicate = (replicate - 1) % 3 + 1;
                reading.timeMin = time;
                reading.value =
                    off * (white ? 90.0 * -std::expm1(-0.05 * time) : 80.0 * -std::expm1(-0.03 * time));
                reading.row = assays.readings.size() + 2;
                assays.readings.push_back(reading);
            }
        }
    }
    return assays;
}

}  // namespace aftercurve::test
